// See shop/reach.py
const CARD = "/card/open/", OLD = 15 * 60 * 1000
const safe = text => () => text.replaceAll("&", "&amp;")
let signedOut = 0
const card = async () => (await caches.open(CARD)).match(CARD, { ignoreVary: true })
const drop = () => {
  signedOut++
  return caches.delete(CARD)
}
const refresh = async isDoor => {
  const kept = isDoor ? null : await card(), before = signedOut
  if (kept && Date.now() - Date.parse(kept.headers.get("Date")) < OLD) return
  const fresh = await fetch(CARD, { redirect: "manual" }).catch(() => null)
  if (!fresh) return
  if (fresh.ok && before == signedOut) await (await caches.open(CARD)).put(CARD, fresh)
  else if (fresh.type == "opaqueredirect" || fresh.status == 401 || fresh.status == 403) await drop()
}
addEventListener("fetch", e => {
  if (e.request.mode != "navigate") return
  const path = new URL(e.request.url).pathname
  e.waitUntil(path == "/sign-out/" ? drop() : refresh(path == "/sign-in/"))
})
