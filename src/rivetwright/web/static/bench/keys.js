// Space, Enter, Page down or a large hand button press what comes next.

const KEYS = [" ", "Enter", "PageDown"];
const OWN_USE = "input, textarea, select, button, summary, a";

// A key that is held down comes again and again, and is meant once; not where it writes.
function isHeld(event) {
  if (!event.repeat) return false;
  const writes = event.key === "Enter" ? "textarea" : OWN_USE;
  return !event.target.closest?.(writes);
}

export function takeKeys(root, primary) {
  document.addEventListener("keydown", (event) => {
    if (!KEYS.includes(event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.defaultPrevented || !root.querySelector(".stop-all").hidden) return;
    const isOwn = event.target.closest?.(OWN_USE);
    if (isHeld(event)) {
      event.preventDefault();
      return;
    }
    if (isOwn && (event.key !== "PageDown" || isOwn.matches("textarea, select"))) return;
    event.preventDefault();
    if (!event.repeat) primary()?.click();
  });
}
