// Getting a photograph onto the page: dropped, pasted, chosen, or taken by the computer's camera.

import { api } from "./api.mjs";
import { say, take, whileBusy } from "./app.mjs";
import { byId, h } from "./dom.mjs";

/** Send a picture to be read. */
export function sendPhoto(blob) {
  return whileBusy("Reading the picture…", async () => {
    const server = await api.photo(blob);
    take(server, `The picture was read. ${server.answer?.joints.length ?? 0} joints, ${server.answer?.members.length ?? 0} members.`);
  });
}

/** Let the person choose a file. */
export function openFile() {
  byId("file").click();
}

/** Listen for pictures that are dropped, pasted or chosen. */
export function listenForPhotos() {
  byId("file").addEventListener("change", (event) => {
    const [file] = event.target.files;
    if (file) sendPhoto(file);
    event.target.value = "";
  });
  let inside = 0;
  const over = (event) => event.dataTransfer?.types.includes("Files");
  addEventListener("dragenter", (event) => {
    if (!over(event)) return;
    inside += 1;
    document.body.classList.add("dropping");
  });
  addEventListener("dragleave", (event) => {
    if (!over(event)) return;
    inside -= 1;
    if (inside <= 0) document.body.classList.remove("dropping");
  });
  addEventListener("dragover", (event) => {
    if (over(event)) event.preventDefault();
  });
  addEventListener("drop", (event) => {
    inside = 0;
    document.body.classList.remove("dropping");
    if (!over(event)) return;
    event.preventDefault();
    const [file] = event.dataTransfer.files;
    if (file) sendPhoto(file);
  });
  addEventListener("paste", (event) => {
    const file = [...(event.clipboardData?.files ?? [])].find((one) => one.type.startsWith("image/"));
    if (!file) return;
    event.preventDefault();
    sendPhoto(file);
  });
}

/** Take a picture with the computer's camera. */
export async function openCamera() {
  let stream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { width: { ideal: 4096 }, facingMode: "environment" } });
  } catch {
    say("No camera can be used. Allow it in the browser, or choose a picture instead.");
    return;
  }
  const talk = byId("talk");
  const video = h("video", { autoplay: true, playsinline: true, muted: true });
  video.srcObject = stream;
  const stop = () => stream.getTracks().forEach((track) => track.stop());
  const shoot = () => {
    const canvas = h("canvas", { width: video.videoWidth, height: video.videoHeight });
    canvas.getContext("2d").drawImage(video, 0, 0);
    talk.close();
    canvas.toBlob((blob) => blob && sendPhoto(blob), "image/jpeg", 0.95);
  };
  talk.replaceChildren(
    h("h2", { id: "talk-head" }, "Take a picture of the truss"),
    video,
    h(
      "div",
      { class: "row" },
      h("button", { type: "button", class: "main", onclick: shoot }, "Take the picture"),
      h("button", { type: "button", onclick: () => talk.close() }, "Cancel"),
    ),
  );
  talk.addEventListener("close", stop, { once: true });
  talk.showModal();
}
