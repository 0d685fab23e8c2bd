"""Sheets for a class: one document of blocks, set as PDF, HTML or Markdown.

Each part is imported from its own module (`content`, `maths`, `as_pdf`, `as_html`, `as_markdown`): gathering
them here would make every command wait for what it never sets.
"""

__all__: list[str] = []
