// See shop/reach.py
if (self.document) navigator.serviceWorker?.register(document.currentScript.src).catch(() => {})
else {
  const PAGE = "/out-of-reach/?DIGEST"
  const keep = async () => {
    await (await caches.open(PAGE)).add(PAGE)
    for (const old of await caches.keys()) if (old != PAGE) caches.delete(old)
    await skipWaiting()
  }
  const tell = async asked => {
    const page = await caches.match(PAGE, { ignoreVary: true })
    const back = asked.method == "GET" ? asked.url : asked.referrer
    const words = (await page.text())
      .replace("the page whose address stands above", () => asked.url.replaceAll("&", "&amp;"))
      .replace('href=""', () => `href="${back.replaceAll("&", "&amp;")}"`)
    return new Response(words, { status: 503, headers: page.headers })
  }
  addEventListener("install", e => e.waitUntil(keep()))
  addEventListener("fetch", e => {
    if (e.request.mode == "navigate") e.respondWith(fetch(e.request).catch(() => tell(e.request)))
  })
}
