// What the papers show: lines of the service history, kept with the answers and sent with them.
import { amount } from "./answers.js";
import { dateWords, dayOf, readDate } from "./dates.js";

const NEEDS = { renewed: ["item"], failed: ["item"], never_renewed: ["item"], engine_replaced: ["item"], checked: ["item", "result"], reading: ["odometer"] };
const list = () => document.getElementById("paper-lines");
const template = () => document.getElementById("paper-line").content;

/** What a line still lacks before it counts: names of its fields. */
export function lacks(line, today) {
  const lacking = (NEEDS[line.work] ?? []).filter((name) => !line[name]);
  return dayOf(line.when ?? "", today) ? lacking : [...lacking, "when"];
}

/** The service history of a case: the lines that are complete. */
export function history(lines, today, unit, note) {
  return lines.filter((line) => !lacks(line, today).length).map((line) => ({
    work: line.work,
    date: dayOf(line.when, today),
    ...(line.item ? { item: line.item } : {}),
    ...(line.result ? { result: line.result } : {}),
    ...(line.part ? { part_revision: line.part } : {}),
    ...(line.odometer ? { odometer: { value: amount(line.odometer), unit } } : {}),
    ...(line.engineDistance ? { engine_distance: { value: amount(line.engineDistance), unit } } : {}),
    evidence: line.evidence ?? "none",
    ...(line.doubtful ? { doubtful: true } : {}),
    ...(readDate(line.when).day ? {} : { note }),
  }));
}

/** The line on the page that was sent at this place of the history. */
export function rowOf(lines, place, today) {
  return [...list().children].filter((_, index) => !lacks(lines[index], today).length)[place];
}

// ---- the lines on the page ------------------------------------------------------------------------------------

let count = 0;

/** Show the kept lines and take in new ones; `kept()` is called after each change, `typed()` while one types. */
export function papers(state, words, today, kept, typed) {
  state.papers ??= [];
  for (const line of state.papers) put(line, false);
  for (const button of document.querySelectorAll("[data-add]")) button.addEventListener("click", () => add(button.dataset.add));

  function add(work) {
    for (const open of list().querySelectorAll("details[open]")) open.open = false;
    const line = { work, evidence: state.papers.at(-1)?.evidence };
    state.papers.push(line);
    const row = put(line, true);
    row.querySelector("select, input").focus();
    kept();
  }

  function put(line, open) {
    const row = template().querySelector("li").cloneNode(true);
    row.id = `paper-${++count}`;
    row.querySelector("details").open = open;
    for (const part of row.querySelectorAll("[data-for]")) if (!part.dataset.for.split(" ").includes(line.work)) part.remove();
    for (const radio of row.querySelectorAll("input[type=radio]")) radio.name = row.id;
    if (line.work === "checked") checks(row, line);
    write(row, line);
    row.addEventListener("input", () => { read(row, line); tell(row, line); typed(); });
    row.addEventListener("change", (event) => {
      if (event.target.dataset.paper === "item") dependent(row, line);
      if (event.target.dataset.paper === "when") event.target.value = dateWords(event.target.value, today) || event.target.value;
      read(row, line);
      tell(row, line);
      kept();
    });
    row.querySelector("[data-remove]").addEventListener("click", () => remove(row, line));
    list().append(row);
    tell(row, line);
    dayHint();
    return row;
  }

  function remove(row, line) {
    state.papers.splice(state.papers.indexOf(line), 1);
    row.remove();
    dayHint();
    document.getElementById("papers-said").textContent = words.paper_removed;
    document.querySelector(`[data-add="${line.work}"]`).focus();
    kept();
  }

  function tell(row, line) {
    const lacking = lacks(line, today);
    const told = summary(row, line, today);
    row.querySelector("summary").textContent = lacking.length ? `${told} (${words.paper_open})` : told;
    row.querySelector("[data-remove] .hidden").textContent = ` ${told}`;
    row.classList.toggle("open", lacking.length > 0);
  }
}

const dayHint = () => { document.getElementById("papers-day").hidden = !list().children.length; };
const chosen = (row, name) => row.querySelector(`select[data-paper="${name}"]`)?.selectedOptions[0];

function summary(row, line, today) {
  const work = document.querySelector(`[data-add="${line.work}"]`).textContent;
  const item = line.item ? chosen(row, "item")?.textContent : "";
  const when = dateWords(line.when ?? "", today);
  const unit = document.querySelector(".visit").dataset.distance;
  const shown = row.querySelector("input[type=radio]:checked")?.nextElementSibling.textContent;
  const reading = amount(line.odometer ?? "");
  const shownReading = reading === null ? "" : `${Number.isNaN(reading) ? line.odometer : reading.toLocaleString(document.documentElement.lang)} ${unit}`;
  return [item ? `${work}: ${item}` : work, when, shownReading, shown].filter(Boolean).join(", ");
}

function read(row, line) {
  for (const field of row.querySelectorAll("[data-paper]")) {
    const name = field.dataset.paper;
    if (field.type === "radio") { if (field.checked) line[name] = field.value; }
    else if (field.type === "checkbox") line[name] = field.checked;
    else line[name] = field.value.trim();
  }
}

function write(row, line) {
  for (const field of row.querySelectorAll("[data-paper]")) {
    const kept = line[field.dataset.paper];
    if (field.type === "radio") field.checked = field.value === kept;
    else if (field.type === "checkbox") field.checked = Boolean(kept);
    else if (kept !== undefined) field.value = kept;
    if (field.dataset.paper === "item") dependent(row, line);
  }
  if (line.work === "engine_replaced") read(row, line);
  if (line.doubtful) row.querySelector("[data-doubtful]").hidden = false;
}

// The part revisions of the weak point, or the results of the check, that is chosen.
function dependent(row, line) {
  const item = chosen(row, "item");
  const part = row.querySelector('select[data-paper="part"]');
  if (part) fill(part, JSON.parse(item?.dataset.parts ?? "[]"), line.part);
  if (part) part.closest("label").hidden = part.options.length < 2;
  const result = row.querySelector('select[data-paper="result"]');
  if (result) fill(result, resultsOf(item?.value), line.result);
}

function fill(select, pairs, kept) {
  select.replaceChildren(select.options[0], ...pairs.map(([value, text]) => new Option(text, value, false, value === kept)));
}

// The checks of this visit and their results, as they stand on the page.
function checks(row) {
  const select = row.querySelector('select[data-paper="item"]');
  const boxes = [...document.querySelectorAll("#answers [data-answers]")];
  fill(select, boxes.map((box) => [box.dataset.answers, box.querySelector("legend").textContent]));
}

function resultsOf(check) {
  const box = check && document.querySelector(`#answers [data-answers="${check}"]`);
  if (!box) return [];
  return [...box.querySelectorAll(".result")].map((label) => [label.querySelector("input").value.slice(2), label.textContent.trim()]);
}
