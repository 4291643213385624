// Says of a page that came back without the link that it is the last copy, and of when.

export async function start(words) {
  try {
    await fetch("/api/now", { cache: "no-store" });
  } catch {
    const copy = await globalThis.caches?.match(location.href, { ignoreVary: true });
    const made = Date.parse(copy?.headers.get("date") ?? "");
    const when = made ? new Date(made).toLocaleString(document.documentElement.lang) : "";
    words.textContent = when ? words.dataset.of.replace("{when}", when) : words.dataset.plain;
    words.hidden = false;
  }
}
