// One line that always says what is not yet on the laptop.

import { hear, tell } from "../bus.js";

export function start(line) {
  const said = line.querySelector(".said");
  const words = line.dataset;
  let waiting = [];
  let taking = 0; // pressed, and not yet on this device's disk
  // What sticks below this line must know how high it is.
  const { style } = line.parentElement;
  new ResizeObserver(() => style.setProperty("--line", `${line.offsetHeight}px`)).observe(line);
  let link = { isUp: true };

  const counted = (count, one, some) =>
    count === 1 ? one : some.replace("{count}", count);

  const write = () => {
    const refused = waiting.filter((one) => one.refused).length;
    const count = waiting.length - refused + taking;
    const parts = [count ? counted(count, words.one, words.some) : ""];
    if (refused) parts.push(counted(refused, words.askedOne, words.askedSome));
    if (link.isShut) parts.push(words.shut);
    else if (!link.isUp) parts.push(words.away);
    else if (link.why && waiting.length) parts.push(words.failed.replace("{why}", link.why));
    const isKept = !waiting.length && !taking;
    if (isKept && link.isUp && !link.isShut) parts.push(words.none);
    const text = parts.filter(Boolean).join(". ");
    if (said.textContent !== text) said.textContent = text;
    line.dataset.state = link.isUp && !link.isShut ? (isKept ? "kept" : "waits") : "away";
    line.dataset.waiting = String(waiting.length);
  };

  hear("waiting", (now) => {
    ({ waiting } = now);
    write();
  });
  // The press is painted first; its words may come a frame later.
  hear("taking", ({ by }) => {
    taking += by;
    if (by > 0 && line.dataset.state === "kept") line.dataset.state = "waits";
    requestAnimationFrame(() => setTimeout(write));
  });
  // Told at once where the browser knows it; what this machine serves to itself is
  // reached all the same.
  const look = () =>
    fetch("/api/now", { cache: "no-store" }).catch(() => tell("link", { isUp: false }));
  addEventListener("offline", look);
  if (!navigator.onLine) look();
  hear("link", (now) => {
    link = { ...now, isShut: now.isShut ?? (link.isShut && !now.isUp) };
    write();
  });
  hear("lost", () => {
    said.textContent = words.lost;
    line.dataset.state = "away";
  });
}
