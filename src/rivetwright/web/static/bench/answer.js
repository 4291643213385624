// A mark that was refused waits here for its answer; it is never lost.

import { hear, tell } from "../bus.js";

export function start(place) {
  const template = place.querySelector("template");
  let shown = "";

  const fill = (one) => {
    const part = template.content.cloneNode(true);
    for (const field of part.querySelectorAll("[data-of]")) {
      field.textContent = one.refused[field.dataset.of] ?? "";
    }
    const form = part.querySelector("form");
    // Asked for where a reason helps; else the mark goes again as it is, or is dropped.
    const takesReason = Boolean(one.refused.takes_reason);
    form.querySelector(".typed").hidden = !takesReason;
    form.elements.reason.required = takesReason;
    const send = form.querySelector("[type=submit]");
    if (!takesReason) send.textContent = send.dataset.again;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      shown = "";
      tell("answered", { id: one.id, reason: form.elements.reason.value.trim() });
    });
    form.querySelector(".drop").addEventListener("click", () => {
      shown = "";
      tell("dropped", { id: one.id });
    });
    place.querySelector(".refusal")?.remove();
    place.append(part);
  };

  hear("waiting", ({ waiting }) => {
    const one = waiting.find((each) => each.refused);
    place.hidden = !one;
    if (one && one.id !== shown) {
      fill(one);
      shown = one.id;
      place.scrollIntoView({ block: "center" });
    }
  });
}
