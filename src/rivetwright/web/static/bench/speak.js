// Says the screen aloud if wanted; the wish is remembered on this device.

import { hear } from "../bus.js";

export function start(button) {
  if (!("speechSynthesis" in window)) return;
  let isOn = false;
  let last = "";
  try {
    isOn = localStorage.getItem("speak") === "yes";
  } catch {
    // nothing is kept; the wish holds until the page is left
  }

  const say = (words) => {
    last = words;
    button.dataset.said = words;
    if (!isOn || !words) return;
    speechSynthesis.cancel();
    const spoken = new SpeechSynthesisUtterance(words);
    spoken.lang = document.documentElement.lang;
    speechSynthesis.speak(spoken);
  };
  const write = () => {
    button.textContent = isOn ? button.dataset.off : button.dataset.on;
    button.setAttribute("aria-pressed", isOn ? "true" : "false");
  };
  button.addEventListener("click", () => {
    isOn = !isOn;
    try {
      localStorage.setItem("speak", isOn ? "yes" : "no");
    } catch {
      // as above
    }
    write();
    if (isOn) say(last);
    else speechSynthesis.cancel();
  });
  hear("say", ({ words }) => say(words));
  button.hidden = false;
  write();
}
