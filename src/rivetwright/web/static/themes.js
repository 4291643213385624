// The button that turns the theme round and remembers it on this device.

export function start(button) {
  const root = document.documentElement;
  const system = matchMedia("(prefers-color-scheme: dark)");
  const now = () => root.dataset.theme ?? (system.matches ? "dark" : "light");
  const write = () => {
    button.textContent = now() === "dark" ? button.dataset.light : button.dataset.dark;
  };
  button.addEventListener("click", () => {
    root.dataset.theme = now() === "dark" ? "light" : "dark";
    try {
      localStorage.setItem("theme", root.dataset.theme);
    } catch {
      // nothing is kept; the choice holds until the page is left
    }
    write();
  });
  system.addEventListener("change", write);
  button.hidden = false;
  write();
}
