// Forms that speak to the API: fields become a JSON value by their names, faults come back beside them.
import { faultsOf, send, sendPicture } from "./send.js";
import { amount } from "./answers.js";

const words = JSON.parse(document.getElementById("words").textContent);
const newKey = () => crypto.randomUUID?.() ?? String(Math.random()).slice(2);

function put(value, path, item) {
  const steps = path.split(".");
  let holder = value;
  steps.slice(0, -1).forEach((step, i) => { holder = holder[step] ??= /^\d+$/.test(steps[i + 1]) ? [] : {}; });
  holder[steps.at(-1)] = item;
}

const ticked = (field) => (field.type !== "radio" && field.type !== "checkbox") || field.checked;
const stands = (form, field) => !field.dataset.needs || Boolean(form.elements[field.dataset.needs].value);

/** The value of a form: empty fields and lines are left out, a field with a unit is a quantity, one that others hang on
 * takes them along, ticked boxes are a list or yes. */
export function valueOf(form) {
  const value = JSON.parse(form.dataset.value ?? "{}");
  for (const field of form.elements) {
    if (!field.name || field.value === "" || !ticked(field) || !stands(form, field)) continue;
    const unit = field.dataset.unit ?? form.elements[field.dataset.unitFrom]?.value;
    if ("list" in field.dataset) (value[field.name] ??= []).push(field.value);
    else if ("flag" in field.dataset) value[field.name] = true;
    else put(value, field.name, unit ? { value: amount(field.value), unit } : field.value);
  }
  return value;
}

// Pictures go first; the value then names them by the ids they were given. Throws {faults} when one is refused.
async function withPictures(form, value) {
  for (const field of form.querySelectorAll("[data-pictures]")) {
    if (!field.files.length || !stands(form, field)) continue;
    const named = [];
    for (const picture of field.files) {
      const response = await sendPicture("/v1/photos", picture);
      if (!response.ok) throw Object.assign(new Error(picture.name), { faults: await faultsOf(response) });
      named.push((await response.json()).photo_id);
    }
    put(value, field.dataset.pictures, named);
  }
  for (const [name, lines] of Object.entries(value)) if (Array.isArray(lines)) value[name] = lines.filter(() => true); // no holes
  return value;
}

for (const form of document.querySelectorAll("form[data-api]")) {
  const place = form.querySelector("[role=status]");
  let key = newKey();
  form.addEventListener("change", () => { key = newKey(); });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    place.textContent = words.sending;
    try {
      const response = await send(form.dataset.api, await withPictures(form, valueOf(form)), { "Idempotency-Key": key });
      if (!response.ok) return tell(place, await faultsOf(response));
      const made = response.status === 204 ? {} : await response.json();
      if (form.dataset.next) location.assign(form.dataset.next.replace("{id}", made.assessment_id ?? ""));
      else tell(place, [form.dataset.done]);
    } catch (error) {
      tell(place, error.faults ?? [words.failed]);
    }
  });
}

function tell(place, lines) {
  const list = document.createElement("ul");
  for (const line of lines) list.append(Object.assign(document.createElement("li"), { textContent: line }));
  place.replaceChildren(list);
}

// The results of the check that is chosen.
function follow(choice) {
  const check = document.getElementById(choice.dataset.resultsOf);
  const [blank, groups] = [choice.options[0], [...choice.querySelectorAll("optgroup")]];
  const show = () => choice.replaceChildren(blank, ...groups.filter((group) => group.dataset.check === check.value));
  check.addEventListener("change", show);
  show();
}

// One more line like the first, as it was when the page came: the number in its names and ids goes up.
for (const button of document.querySelectorAll("[data-more]")) {
  const lines = document.querySelector(`[data-lines="${button.dataset.more}"]`);
  const first = lines.querySelector(".line").cloneNode(true);
  button.addEventListener("click", () => {
    const next = first.cloneNode(true);
    const number = lines.children.length;
    for (const part of next.querySelectorAll("*")) {
      for (const { name, value } of [...part.attributes]) {
        if (/^(name|data-needs|data-pictures)$/.test(name)) part.setAttribute(name, value.replace(".0.", `.${number}.`));
        if (/^(id|for|data-results-of)$/.test(name)) part.setAttribute(name, value.replace(/-0$/, `-${number}`));
      }
    }
    lines.append(next);
    for (const choice of next.querySelectorAll("[data-results-of]")) follow(choice);
    next.querySelector("select").focus();
  });
}

for (const choice of document.querySelectorAll("[data-results-of]")) follow(choice);
