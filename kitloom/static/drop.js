// Files dropped or chosen go to kitloom two at a time, each answered as soon as it is measured.
import { $, $$, errand, gone, take } from "./exchange.js";

const wanted = /\.(png|jpe?g|tiff?|webp|bmp|gif|toml)$/i;
let line = Promise.resolve(), busy = 0;
errand(() => busy > 0, () => line);

function arrive(files) {
  files = files.filter((file) => !file.name.startsWith("."));
  const usable = files.length === 1 ? files : files.filter((file) => wanted.test(file.name));
  usable.sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
  if (files.length && !usable.length) note("Nothing in there is artwork that can be read.", true);
  const queue = usable.map((file) => ({ file, item: note(`${file.name}: measuring …`) }));
  const worker = async () => { for (let next; (next = queue.shift());) await carry(next); };
  busy++;
  line = line.then(() => Promise.all([worker(), worker()])).finally(() => { busy--; });
}
async function carry({ file, item }) {
  const body = new FormData();
  body.append("files", file);
  try {
    const answer = await fetch("/upload", { method: "POST", body });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (answer.ok) { item.remove(); take(fresh); return; }
    const said = ($("#part-answer", fresh) || fresh.body).textContent.trim();
    item.className = "bad"; item.textContent = `Not taken in: ${said.replace(/\s+/g, " ")}`;
  } catch { item.className = "bad"; item.textContent = `${file.name}: ${gone}`; }
}
function note(words, bad) {
  const item = document.createElement("li"); item.textContent = words; if (bad) item.className = "bad";
  $("#arriving").append(item); return item;
}
async function inside(entry) {
  if (entry.isFile) return [await new Promise((done, fail) => entry.file(done, fail))];
  const reader = entry.createReader(), found = [];
  for (;;) {
    const some = await new Promise((done, fail) => reader.readEntries(done, fail));
    if (!some.length) return found;
    for (const one of some) if (one.isFile && found.length < 500) found.push(...(await inside(one)));
  }
}
function chosen(field) { arrive([...field.files]); field.value = ""; }
document.addEventListener("change", (event) => { if (event.target.matches("#files, #folder")) chosen(event.target); });
for (const field of $$("#files, #folder")) if (field.files.length) chosen(field); // before this script came
for (const kind of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (![...(event.dataTransfer?.types ?? [])].includes("Files")) return;
    event.preventDefault();
    const well = $(".well");
    if (well) well.classList.toggle("over", kind === "dragover");
    if (kind === "drop" && well) {
      const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry()).filter(Boolean);
      Promise.all(entries.map(inside)).then((lists) => arrive(lists.flat()));
    }
  });
}
