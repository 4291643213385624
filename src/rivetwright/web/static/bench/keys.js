// Space, Enter, Page down or a large hand button press what comes next.

const KEYS = [" ", "Enter", "PageDown"];
const OWN_USE = "input, textarea, select, button, summary, a";

export function takeKeys(root, primary) {
  document.addEventListener("keydown", (event) => {
    if (!KEYS.includes(event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.defaultPrevented || !root.querySelector(".stop-all").hidden) return;
    const isOwn = event.target.closest?.(OWN_USE);
    if (isOwn && (event.key !== "PageDown" || isOwn.matches("textarea, select"))) return;
    event.preventDefault();
    if (event.repeat) return;
    primary()?.click();
  });
}
