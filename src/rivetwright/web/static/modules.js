// Starts one module for each element that asks for it by data-module="name".

const started = new WeakSet();

// All are fetched side by side but started in the order of the page: what is told by
// one must find the others listening.
export async function startIn(root) {
  const asking = [...root.querySelectorAll("[data-module]")].filter((one) => !started.has(one));
  for (const element of asking) started.add(element);
  const modules = await Promise.all(
    asking.map((element) => import(`./${element.dataset.module}.js`)),
  );
  await Promise.all(modules.map(({ start }, k) => start(asking[k])));
}
