// The one script of every page: starts what the page asks for.

import { startIn } from "./modules.js";

await startIn(document);
document.documentElement.dataset.ready = "yes";
