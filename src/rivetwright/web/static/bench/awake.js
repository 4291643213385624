// Keeps the screen on and the page at hand where the browser allows it; says so
// where it does not.

export function start(words) {
  let lock = null;
  const hold = async () => {
    if (document.hidden || lock) return;
    try {
      lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => (lock = null));
      words.textContent = words.dataset.kept;
    } catch {
      words.textContent = ""; // battery low: the device decides
    }
  };
  if ("wakeLock" in navigator) {
    document.addEventListener("visibilitychange", hold);
    hold();
  } else words.textContent = words.dataset.plain;
  keepPage();
}

// The worker learns what this page was made of, for a reload without the link.
async function keepPage() {
  if (!isSecureContext || !navigator.serviceWorker) return;
  try {
    await navigator.serviceWorker.register("/sw.js");
    const { active } = await navigator.serviceWorker.ready;
    const used = performance.getEntriesByType("resource").map((one) => one.name);
    const own = used.filter((one) => one.startsWith(location.origin) && !one.includes("/api/"));
    active.postMessage({ keep: [location.href, ...own] });
  } catch {
    // the certificate is not installed: as on plain http
    document.documentElement.dataset.worker = "refused";
  }
}
