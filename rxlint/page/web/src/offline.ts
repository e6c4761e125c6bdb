/**
 * Keeps the page usable without a connection: a copy of exactly the files of this folder, and of nothing else.
 *
 * What is typed never comes here: the page sends nothing. A new version is fetched whole, and compared with what it was
 * made of, before it takes the old one's place; the old one serves the pages that are open until they are closed.
 */

export {}; // a module, so that its names are its own

declare const self: ServiceWorkerGlobalScope;

/** The version and, by path, the SHA-256 of each file; put in when the folder is made, so a new folder is a new script. */
declare const FOLDER: { version: string; files: Record<string, string> };

const scope = self.registration.scope;
const family = `rxlint page ${scope} `; // several folders may stand on one server
const name = family + FOLDER.version;

async function digest(data: ArrayBuffer): Promise<string> {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function keep(cache: Cache, path: string, wanted: string): Promise<void> {
  const answer = await fetch(scope + path, { cache: "no-cache" }); // what the browser has is asked after, not fetched twice
  if (!answer.ok) throw new Error(`${path}: answer ${answer.status}`);
  const data = await answer.arrayBuffer();
  if ((await digest(data)) !== wanted) throw new Error(`${path} is not of this version`);
  await cache.put(scope + path, new Response(data, { headers: answer.headers }));
}

async function keepAll(): Promise<void> {
  // The version that is in use may have this name too, where this script alone has changed: its copy is never taken away.
  const isKept = await caches.has(name);
  const cache = await caches.open(name);
  try {
    for (const [path, wanted] of Object.entries(FOLDER.files)) await keep(cache, path, wanted);
  } catch (error) {
    if (!isKept) await caches.delete(name);
    throw error; // the browser drops this version and tries again another time
  }
}

async function dropOthers(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((each) => each.startsWith(family) && each !== name).map((each) => caches.delete(each)));
}

/** The path of a file of the folder that a request asks for. */
function asked(request: Request): string | undefined {
  const url = request.url.replace(/[?#].*$/, "");
  if (request.method !== "GET" || !url.startsWith(scope)) return undefined;
  const path = url.slice(scope.length) || "index.html";
  return Object.hasOwn(FOLDER.files, path) ? path : undefined;
}

async function answered(path: string, request: Request): Promise<Response> {
  const kept = await (await caches.open(name)).match(scope + path);
  return kept ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(dropOthers()));
self.addEventListener("fetch", (event) => {
  const path = asked(event.request);
  if (path !== undefined) event.respondWith(answered(path, event.request));
});
