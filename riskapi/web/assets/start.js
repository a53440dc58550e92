// The first page: family or features, revisions of the chosen family, and the looks that were begun on this device.
import { dateWords } from "./dates.js";
import { visits } from "./store.js";

const form = document.querySelector("[data-form=start]");

function how() {
  const chosen = form.elements.how.value;
  for (const part of form.querySelectorAll("[data-how]")) part.hidden = part.dataset.how !== chosen;
}

const [unknown, families] = [form.elements.revision.options[0], [...form.querySelectorAll("optgroup[data-family]")]];

// The others are taken out, since not every browser hides a part of a choice.
function revisions() {
  const mine = families.filter((group) => group.dataset.family === form.elements.family.value);
  form.elements.revision.replaceChildren(unknown, ...mine);
}

// An empty field is no part of the address.
form.addEventListener("submit", () => {
  for (const field of form.elements) {
    if (field.name && (field.value === "" || field.closest("[data-how]")?.hidden)) field.disabled = true;
  }
  setTimeout(() => { for (const field of form.elements) field.disabled = false; }, 500);
});
addEventListener("pageshow", () => { for (const field of form.elements) field.disabled = false; how(); revisions(); });
form.addEventListener("change", () => { how(); revisions(); });
form.elements.registered.addEventListener("change", ({ target }) => { target.value = dateWords(target.value) || target.value; }); // as understood
how();
revisions();

const kept = document.getElementById("kept");
const words = JSON.parse(document.getElementById("words").textContent);
const begun = visits().filter((each) => !each.sent && (Object.keys(each.answers ?? {}).length || each.papers?.length));
for (const visit of begun.sort((one, other) => Number(other.waiting ?? false) - Number(one.waiting ?? false))) {
  const link = Object.assign(document.createElement("a"), { href: `/visit${visit.query}`, textContent: visit.title });
  const line = document.createElement("li");
  const told = words.kept_answers.replace("{count}", Object.keys(visit.answers).length + (visit.papers?.length ?? 0));
  const day = new URLSearchParams(visit.query).get("date") ?? "";
  const reference = new URLSearchParams(visit.query).get("reference");
  line.append(link, Object.assign(document.createElement("span"), { className: "hint", textContent: ` ${[day, reference, told].filter(Boolean).join(", ")}` }));
  if (visit.waiting) line.append(Object.assign(document.createElement("b"), { textContent: ` ${words.kept_waiting}` }));
  kept.querySelector("ul").append(line);
  kept.hidden = false;
}
