// Starts one module for each element that asks for it by data-module="name".

const started = new WeakSet();

export async function startIn(root) {
  const asking = [...root.querySelectorAll("[data-module]")];
  if (root instanceof Element && root.dataset.module) asking.unshift(root);
  for (const element of asking) {
    if (started.has(element)) continue;
    started.add(element);
    const { start } = await import(`./${element.dataset.module}.js`);
    start(element);
  }
}

await startIn(document);
document.documentElement.dataset.ready = "yes";
