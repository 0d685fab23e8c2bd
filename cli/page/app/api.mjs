// What the page asks the server for. Every answer is a state, or an error with a sentence for the person.

/** The server said no: `kind` for the program, the message for the person. */
export class Refused extends Error {
  constructor(kind, message) {
    super(message);
    this.kind = kind;
  }
}

/** The server is not there any more. */
export class Gone extends Error {}

async function ask(path, options) {
  let response;
  try {
    response = await fetch(path, { credentials: "same-origin", cache: "no-store", ...options });
  } catch {
    throw new Gone("The page's program has ended.");
  }
  if (response.ok) return response;
  const refusal = await response.json().catch(() => null);
  throw new Refused(refusal?.kind ?? "request", refusal?.message ?? `The server answered ${response.status}.`);
}

async function post(path, body) {
  const options = { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
  return (await ask(path, options)).json();
}

export const api = {
  state: async () => (await ask("/api/state")).json(),
  pulse: async () => (await ask("/api/pulse")).json(),
  sections: async () => (await ask("/api/sections")).json(),
  prediction: async () => (await ask("/api/prediction")).json(),
  steps: async () => (await ask("/api/steps")).json(),
  edit: (revision, edit) => post("/api/edit", { revision, edit }),
  preview: (revision, edit) => post("/api/preview", { revision, edit }),
  undo: (revision) => post("/api/undo", { revision }),
  redo: (revision) => post("/api/redo", { revision }),
  disk: (choice) => post("/api/disk", { choice }),
  photo: async (blob) =>
    (await ask("/api/photo", { method: "POST", headers: { "content-type": "application/octet-stream" }, body: blob })).json(),
  exported: async (kind, style) => {
    const response = await ask(`/api/export/${kind}?${new URLSearchParams(style)}`);
    const name = /filename="([^"]+)"/.exec(response.headers.get("content-disposition") ?? "")?.[1] ?? kind;
    return { name, blob: await response.blob() };
  },
};
