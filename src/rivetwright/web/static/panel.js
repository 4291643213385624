// The hole panel: fetches a hole's card when one is chosen, and the working of a
// figure when it is asked for, in the same place.

import { hear, tell, writeAddress } from "./bus.js";
import { startIn } from "./modules.js";

const narrow = matchMedia("(max-width: 63.99rem)");

export function start(panel) {
  const body = panel.querySelector(".panel-body");
  const back = panel.querySelector(".panel-back");
  const close = panel.querySelector(".panel-close");
  let name = panel.dataset.hole ?? "";
  // On the root, so that no style has to look for it: that made every press slow.
  if (panel.dataset.open) document.documentElement.dataset.panel = "open";
  let cameFrom = null;
  let asked = 0;

  const cardAddress = (hole) => `${panel.dataset.cards}${encodeURIComponent(hole)}`;

  // Answers may overtake each other; only the last one asked for is shown.
  const load = async (address, isWorking) => {
    asked += 1;
    const mine = asked;
    const wanted = new URL(address, location.href);
    wanted.searchParams.set("part", "card");
    const answer = await fetch(wanted);
    if (mine !== asked) return false;
    if (!answer.ok) {
      location.assign(address);
      return false;
    }
    const made = new DOMParser().parseFromString(await answer.text(), "text/html");
    body.replaceChildren(...made.body.childNodes);
    back.hidden = !isWorking;
    close.hidden = false;
    panel.dataset.open = "yes";
    document.documentElement.dataset.panel = "open";
    panel.scrollTop = 0;
    panel.parentElement.scrollTop = 0;
    await startIn(body);
    return true;
  };

  const focusHeading = () => {
    const heading = body.querySelector("h2");
    if (!heading) return;
    heading.tabIndex = -1;
    heading.focus();
  };

  hear("choose", async ({ name: chosen, from }) => {
    name = chosen;
    if (!name) return;
    cameFrom = from === "table" ? document.activeElement : null;
    writeAddress({ hole: name });
    if (!(await load(cardAddress(name), false))) return;
    // On a phone the card covers the lower half: the map moves up above it.
    if (narrow.matches) document.querySelector(".map-frame")?.scrollIntoView();
    if (cameFrom) focusHeading();
  });

  const shut = () => {
    delete panel.dataset.open;
    delete document.documentElement.dataset.panel;
    writeAddress({ hole: "" });
    body.replaceChildren(panel.querySelector("template").content.cloneNode(true));
    back.hidden = true;
    close.hidden = true;
    name = "";
    tell("choose", { name: "", from: "panel" });
    (cameFrom ?? document.querySelector(".map-frame"))?.focus();
  };

  panel.addEventListener("click", async (event) => {
    const link = event.target.closest("a[data-working]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (await load(link.href, true)) focusHeading();
  });
  back.addEventListener("click", async () => {
    if (await load(cardAddress(name), false)) focusHeading();
  });
  close.addEventListener("click", shut);
  panel.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !name) return;
    event.preventDefault();
    if (back.hidden) shut();
    else back.click();
  });
}
