// See shop/reach.py
if (self.document) navigator.serviceWorker?.register(document.currentScript.src).catch(() => {})
else {
  importScripts("/reach-card.js")
  const PAGE = "/out-of-reach/?DIGEST"
  const keep = async () => {
    await (await caches.open(PAGE)).add(PAGE)
    for (const old of await caches.keys()) if (![PAGE, CARD].includes(old)) await caches.delete(old)
    await skipWaiting()
  }
  const tell = async asked => {
    const page = await card() || await caches.match(PAGE, { ignoreVary: true })
    const words = (await page.text())
      .replace("the page whose address stands above", safe(asked.url))
      .replace('href=""', safe(`href="${asked.method == "GET" ? asked.url : asked.referrer}"`))
    return new Response(words, { status: 503, headers: page.headers })
  }
  addEventListener("install", e => e.waitUntil(keep()))
  addEventListener("fetch", e => {
    if (e.request.mode == "navigate") e.respondWith(fetch(e.request).catch(() => tell(e.request)))
  })
}
