// Keeps the day sheets that were opened on this phone, so that they open without the network.
// Everything else goes by as if this were not here.

const KEPT = "day sheets 1";
const MOST = 40;

const isDay = (url) => /^\/shops\/[^/]+\/day$/.test(url.pathname);
const isStatic = (url) => url.pathname.startsWith("/static/");

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function keep(request, answer) {
  const kept = await caches.open(KEPT);
  await kept.delete(request);
  await kept.put(request, answer);
  const keys = await kept.keys();
  await Promise.all(keys.slice(0, Math.max(0, keys.length - MOST)).map((key) => kept.delete(key)));
}

async function fromNetworkFirst(event) {
  try {
    const answer = await fetch(event.request);
    // Nothing that sent the reader elsewhere, to sign in for one.
    if (answer.ok && !answer.redirected) event.waitUntil(keep(event.request, answer.clone()));
    return answer;
  } catch (gone) {
    const kept = await caches.open(KEPT);
    const found = await kept.match(event.request, { ignoreVary: true });
    if (!found) throw gone;
    return found;
  }
}

async function fromKeptFirst(event) {
  const kept = await caches.open(KEPT);
  return (await kept.match(event.request, { ignoreVary: true })) ?? fromNetworkFirst(event);
}

// A sheet that was open before this was there asks for itself and its files to be kept.
self.addEventListener("message", (event) => {
  const addresses = (event.data?.keep ?? []).filter((each) => {
    const url = new URL(each);
    return url.origin === self.location.origin && (isDay(url) || isStatic(url));
  });
  event.waitUntil(
    Promise.allSettled(
      addresses.map(async (each) => {
        const answer = await fetch(each);
        if (answer.ok && !answer.redirected) await keep(new Request(each), answer);
      }),
    ),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && url.pathname === "/sign-out") {
    event.waitUntil(caches.delete(KEPT));
  } else if (request.method === "GET" && isStatic(url)) {
    // A file's name changes with what is in it.
    event.respondWith(fromKeptFirst(event));
  } else if (request.method === "GET" && isDay(url) && request.mode === "navigate") {
    event.respondWith(fromNetworkFirst(event));
  }
});
