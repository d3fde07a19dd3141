// Looks a size up on the card. Lengths are compared as whole nanometres, as Find compares them.
const form = document.forms[0], metric = form.dataset.unit == "mm", most = +form.dataset.most
const PER = { in: 25400000, mm: 1000000, thou: 25400 }
const EXAMPLES = metric ? "19.05, 19 mm or 3/4" : ".7485, 3/4 or 19 mm"
const read = text => {
  const found = /^(?:(\d+)[- ])?(\d+)\/(\d+)(in|")?$|^(\d*)[.,]?(\d*)(in|"|mm|thou)?$/.exec(
    text.trim().toLowerCase().replace(/ *(in|mm|thou|")\.?$/, "$1"))
  if (!found) return { says: `“${text}” cannot be read. Write it like ${EXAMPLES}.` }
  const [, whole, top, under, , before, after, named] = found
  if (top) return +under ? { nm: Math.round((+(whole || 0) * under + +top) * PER.in / under) } : read("?")
  if (!(before + after)) return { says: `“${text}” cannot be read. Write it like ${EXAMPLES}.` }
  const unit = named == '"' ? "in" : named || (metric ? "mm" : "in")
  const nm = Math.round(+(before + after) * PER[unit] / 10 ** after.length)
  if (!named && !metric && nm > most) return { says: `Write ${text} with its unit, like ${text} mm, or with its point.` }
  return { nm }
}
const look = () => {
  const text = form.size.value, shape = form.shape.value, asked = text.trim() ? read(text) : {}
  let holds = 0, limit = 0, others = 0
  for (const row of document.querySelectorAll("[data-r]")) {
    const [from, to, low, high] = row.dataset.r.split(" ").map(Number)
    const fits = row.closest("[data-s]").dataset.s.includes(shape) && asked.nm >= from && asked.nm <= to
    const sure = fits && asked.nm >= low && asked.nm <= high
    row.classList.toggle("yes", sure)
    row.classList.toggle("may", fits && !sure)
    row.classList.toggle("no", asked.nm !== undefined && !fits)
    if (!row.matches(".sizes *")) others += fits
    else if (sure) holds++
    else if (fits) limit++
  }
  for (const part of document.querySelectorAll("section.part"))
    part.classList.toggle("no", asked.nm !== undefined && part.querySelector("[data-r]") && !part.querySelector("[data-r]:not(.no)"))
  const collets = holds ? `A collet holds it: ${holds} on this card.`
    : limit ? "At the limit of a collet: mic all of the grip." : "No collet on this card holds it."
  const rest = others ? ` Chucks and blanks for it: ${others}.` : ""
  form.querySelector("output").textContent = asked.says || (asked.nm === undefined ? "" : collets + rest)
}
form.hidden = false
document.getElementById("away").hidden = !document.querySelector("#away a").getAttribute("href")
form.addEventListener("input", look)
form.addEventListener("submit", event => event.preventDefault())
