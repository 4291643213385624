// Starts one module for each element that asks for it by data-module="name".

const started = new WeakSet();

export async function startIn(root) {
  const asking = [...root.querySelectorAll("[data-module]")];
  for (const element of asking) {
    if (started.has(element)) continue;
    started.add(element);
    const { start } = await import(`./${element.dataset.module}.js`);
    start(element);
  }
}
