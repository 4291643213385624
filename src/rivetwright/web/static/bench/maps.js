// The maps of the step's faces: the one of the present run is shown, its holes lit.

import { hear, tell } from "../bus.js";
import { namesOf } from "../ranges.js";

export function start(place) {
  const figures = [...place.querySelectorAll("figure.map")];
  const tabs = place.querySelector(".face-tabs");
  const buttons = new Map();
  let lit = [];

  // A map that was not shown has no size yet: it is measured before it flies.
  const light = (fly) => {
    requestAnimationFrame(() =>
      requestAnimationFrame(() => tell("light", { names: lit.length ? lit : null, fly })),
    );
  };

  const show = (face) => {
    if (!figures.some((one) => one.dataset.face === face)) return;
    for (const one of figures) one.hidden = one.dataset.face !== face;
    for (const [name, button] of buttons) {
      button.setAttribute("aria-pressed", name === face ? "true" : "false");
    }
  };

  if (figures.length > 1) {
    for (const figure of figures) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = figure.dataset.face;
      button.addEventListener("click", () => {
        show(figure.dataset.face);
        light(true);
      });
      buttons.set(figure.dataset.face, button);
      tabs.append(button);
    }
    tabs.hidden = false;
    show(figures.find((one) => !one.hidden).dataset.face);
  }

  // The map flies to another run; within one it stays where it is.
  hear("stage", ({ section, isNew }) => {
    lit = namesOf(section.dataset.lit ?? "");
    if (section.dataset.face) show(section.dataset.face);
    light(isNew);
  });

  const drawn = new MutationObserver(() => tell("drawn", {}));
  for (const one of place.querySelectorAll(".map-frame")) drawn.observe(one, { childList: true });
}
