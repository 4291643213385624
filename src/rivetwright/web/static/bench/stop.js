// Full-screen stop, with vibration: the next hole must stay open.

import { hear, tell } from "../bus.js";

const SHAKE_MS = [400, 150, 400, 150, 800];
const KEYS = [" ", "Enter", "PageDown", "Escape"];
const DEAF_MS = 700; // a second press of the hand button must not wave it away

export function start(cover) {
  const button = cover.querySelector("button");
  let shownAt = 0;

  const shut = () => {
    if (cover.hidden || performance.now() - shownAt < DEAF_MS) return;
    cover.hidden = true;
    document.documentElement.classList.remove("is-stopped");
    tell("stopped", { is: false });
  };

  hear("stop", ({ next, why }) => {
    cover.querySelector(".stop-next").textContent = next;
    cover.querySelector(".stop-why").textContent = why;
    cover.hidden = false;
    document.documentElement.classList.add("is-stopped");
    shownAt = performance.now();
    button.focus();
    navigator.vibrate?.(SHAKE_MS);
    tell("say", { words: `${cover.querySelector(".stop-title").textContent}. ${why}` });
  });
  button.addEventListener("click", shut);
  // Wherever the focus is: while this is shown every key belongs to it.
  addEventListener(
    "keydown",
    (event) => {
      if (cover.hidden) return;
      event.preventDefault();
      event.stopPropagation();
      if (KEYS.includes(event.key) && !event.repeat) shut();
    },
    { capture: true },
  );
}
