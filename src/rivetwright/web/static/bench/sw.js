// Lets the bench page come back while the laptop cannot be reached. The laptop is
// always asked first; what it answered last is only for want of it.

const KEPT = "rivetwright-1";
const isOurs = (address) =>
  address.origin === location.origin && /^\/(bench\/|static\/|drawing\.css|assembly\/[^/]+\/map)/.test(address.pathname);

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));

async function keep(request, answer) {
  const cache = await caches.open(KEPT);
  await cache.put(request, answer);
}

async function answerFor(request) {
  try {
    const answer = await fetch(request);
    // Shut out: what was kept for want of the laptop goes too.
    if (answer.status === 401) await caches.delete(KEPT);
    if (answer.ok && !answer.redirected) await keep(request, answer.clone());
    return answer;
  } catch (problem) {
    const cache = await caches.open(KEPT);
    const found = await cache.match(request, { ignoreVary: true });
    if (found) return found;
    throw problem;
  }
}

addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !isOurs(new URL(request.url))) return;
  event.respondWith(answerFor(request));
});

addEventListener("message", (event) => {
  const asked = (event.data.keep ?? []).filter((one) => isOurs(new URL(one)));
  const all = asked.map(async (one) => {
    const answer = await fetch(one);
    if (answer.ok) await keep(one, answer);
  });
  event.waitUntil(Promise.allSettled(all).then(() => event.source?.postMessage({ kept: asked.length })));
});
