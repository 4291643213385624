// Lets the bench come back while the laptop cannot be reached. The laptop is always
// asked first; what it answered last is only for want of it.

const KEPT = "rivetwright-1";
const AWAY = "/away";
// Pages that nobody may have opened yet since this worker came.
const BESIDE = ["/bench", "/record"];
const KEPT_PATHS = /^\/(bench(\/|$)|record$|away$|static\/|drawing\.css$|assembly\/[^/]+\/map)/;

function isOurs(written) {
  const address = new URL(written, location.origin);
  return address.origin === location.origin && KEPT_PATHS.test(address.pathname);
}

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));

async function keep(request, answer) {
  const cache = await caches.open(KEPT);
  await cache.put(request, answer);
}

// The last copy; of a page that was never kept a plain one that says so.
async function lastOf(request) {
  const cache = await caches.open(KEPT);
  const found = await cache.match(request, { ignoreVary: true });
  return found ?? (request.mode === "navigate" ? cache.match(AWAY) : undefined);
}

async function answerFor(request, mayKeep) {
  try {
    const answer = await fetch(request);
    // Shut out: what was kept for want of the laptop goes too.
    if (answer.status === 401) await caches.delete(KEPT);
    if (mayKeep && answer.ok && !answer.redirected) await keep(request, answer.clone());
    return answer;
  } catch (problem) {
    const found = await lastOf(request);
    if (found) return found;
    throw problem;
  }
}

addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(`${location.origin}/`)) return;
  const mayKeep = isOurs(request.url);
  if (mayKeep || request.mode === "navigate") event.respondWith(answerFor(request, mayKeep));
});

async function fetched(one) {
  const answer = await fetch(one);
  if (answer.ok && !answer.redirected) await keep(one, answer);
}

// A page that nobody opened here yet, with the styles and modules that it names.
async function fetchedWhole(one) {
  if (await caches.match(one)) return;
  await fetched(one);
  const text = await (await caches.match(one))?.text();
  const named = text?.matchAll(/href="(\/static\/[^"]+\.css)"|data-module="([^"]+)"/g) ?? [];
  const parts = [...named].map(([, sheet, module]) => sheet ?? `/static/${module}.js`);
  await Promise.allSettled(parts.map(fetched));
}

addEventListener("message", (event) => {
  const asked = [AWAY, ...(event.data.keep ?? []).filter(isOurs)];
  const all = [...asked.map(fetched), ...BESIDE.map(fetchedWhole)];
  event.waitUntil(Promise.allSettled(all).then(() => event.source?.postMessage({ kept: asked.length })));
});
