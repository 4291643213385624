// Runs before the first paint, so that a chosen theme never flashes the other one.
// A plain script: modules wait until the page has been read.
(() => {
  const kept = () => {
    try {
      return localStorage.getItem("theme");
    } catch {
      return null; // storage is switched off; the system's choice holds
    }
  };
  const chosen = kept();
  if (chosen === "light" || chosen === "dark") {
    document.documentElement.dataset.theme = chosen;
  }
})();
