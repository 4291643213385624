// The one script of every page: starts what the page asks for.

import { startIn } from "./modules.js";

// On a phone the places stand in one row: the present one is brought into sight.
const here = document.querySelector(".top [aria-current]");
const row = here?.parentElement;
if (row) row.scrollLeft = here.offsetLeft - row.offsetLeft - (row.clientWidth - here.offsetWidth) / 2;

await startIn(document);
document.documentElement.dataset.ready = "yes";
