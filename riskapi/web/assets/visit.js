// The checklist: answers are kept as they are given, the figure moves, and the whole is sent once.
import { answered, findings, read, shownUnit, stops, write } from "./answers.js";
import { point } from "./faults.js";
import { finish, said } from "./finish.js";
import { refresh } from "./live.js";
import { history, papers, rowOf } from "./papers.js";
import { add, drop, show } from "./photos.js";
import { changed, forget, load, save } from "./store.js";
import { watch } from "./timer.js";

const page = document.querySelector(".visit");
const words = JSON.parse(document.getElementById("words").textContent);
const asked = JSON.parse(document.getElementById("case").textContent);
const TIERS = ["ten_minutes", "forty_five_minutes", "workshop"];
let state = load();

export const makeCase = (photos) => ({
  ...asked,
  service_history: history(state.papers ?? [], asked.as_of, page.dataset.distance, words.paper_note),
  findings: findings(state.answers, photos),
});
const update = () => refresh(makeCase, { core, faults, away });

function keep() {
  typed();
  update();
}

// Kept at every letter, so that nothing is lost with the page; asked about when a field is left.
function typed() {
  changed(state);
  save(state);
}

// ---- answers ----------------------------------------------------------------------------------------------------

function take(stop) {
  noted(stop);
  mark(stop);
  update();
}

function noted(stop) {
  const before = state.answers[stop.dataset.check];
  for (const box of stop.querySelectorAll("[data-answers]")) delete state.answers[box.dataset.answers];
  Object.assign(state.answers, read(stop));
  const now = state.answers[stop.dataset.check];
  if (before?.group && now?.v === before.v) now.group = before.group; // a remark or a condition leaves it with its group
  typed();
}

function mark(stop) {
  const done = [...stop.querySelectorAll("[data-answers]")].some((box) => answered(state.answers[box.dataset.answers]));
  stop.classList.toggle("done", done);
  for (const box of stop.querySelectorAll("[data-answers]")) {
    box.querySelector("[data-clear]").hidden = !box.querySelector("input:checked");
  }
}

for (const stop of stops()) {
  write(stop, state.answers);
  mark(stop);
  stop.addEventListener("change", (event) => {
    if (event.target.matches("[data-photo]")) return pictures(stop, event.target);
    if (event.target.matches("input[type=radio]")) forgetMeasure(stop, event.target);
    follow(stop);
    take(stop);
  });
  stop.addEventListener("input", (event) => { if (event.target.matches("[data-note], [data-value]")) noted(stop); });
  stop.addEventListener("click", (event) => {
    const clear = event.target.closest("[data-clear]");
    if (!clear) return;
    const box = clear.closest("[data-answers]");
    const first = box.querySelector("input[type=radio]");
    for (const radio of box.querySelectorAll("input[type=radio]")) radio.checked = false;
    first.focus();
    follow(stop);
    take(stop);
  });
  for (const button of stop.querySelectorAll("[data-hold]")) watch(button, () => { forgetResult(stop); take(stop); });
  for (const field of stop.querySelectorAll("[data-value]")) field.addEventListener("input", () => { if (field.value) forgetResult(stop); });
  for (const box of stop.querySelectorAll("[data-measure]")) {
    box.querySelector("[data-unit-shown]").textContent = shownUnit(box.dataset.unit).unit;
  }
  show(stop, state, words, (local) => removed(stop, local));
}

// What one check shows of the circumstances holds for all that need them: a warm engine spoils each cold sound.
function follow(stop) {
  const chosen = stop.querySelector("input[type=radio]:checked");
  const held = !chosen || chosen.value.startsWith("n:") || chosen.value === stop.querySelector("input[type=radio]").value;
  for (const box of document.querySelectorAll(`[data-shown-by="${stop.dataset.check}"]`)) {
    if (box.checked === held) continue;
    box.checked = held;
    noted(box.closest(".stop"));
  }
}

// A result chosen by hand takes the place of what was measured, and the other way round.
function forgetMeasure(stop, radio) {
  if (radio.name !== stop.dataset.check) return; // a part of the act has no measure of its own
  for (const field of stop.querySelectorAll("[data-value]")) field.value = "";
}

function forgetResult(stop) {
  for (const radio of stop.querySelectorAll(`[data-answers="${stop.dataset.check}"] input[type=radio]`)) radio.checked = false;
}

async function pictures(stop, field) {
  await add(state, stop.dataset.check, field.files);
  field.value = "";
  changed(state);
  save(state);
  await show(stop, state, words, (local) => removed(stop, local));
}

async function removed(stop, local) {
  await drop(state, stop.dataset.check, local);
  changed(state);
  save(state);
  await show(stop, state, words, (other) => removed(stop, other));
}

papers(state, words, asked.as_of, keep, typed);

// ---- tiers, and when in the visit each look begins ----------------------------------------------------------------

const level = (tier) => TIERS.indexOf(tier);

function chooseTier(tier) {
  page.dataset.tier = tier;
  let minutes = 0;
  for (const group of document.querySelectorAll(".group")) {
    group.hidden = level(group.dataset.first) > level(tier);
    for (const stop of group.querySelectorAll(".stop")) {
      const shown = level(stop.dataset.tier) <= level(tier);
      stop.hidden = !shown;
      if (!shown) continue;
      stop.querySelector(".at").textContent = `${Math.round(minutes)}\u2032`;
      minutes += Number(stop.dataset.minutes);
    }
  }
}

for (const radio of document.querySelectorAll(".tiers input")) {
  radio.addEventListener("change", () => { state.tier = radio.value; save(state); chooseTier(radio.value); });
  if (state.tier) radio.checked = radio.value === state.tier;
}
chooseTier(state.tier ?? page.dataset.tier);

// ---- many answers at once ------------------------------------------------------------------------------------------

const clock = () => new Date().toLocaleTimeString(document.documentElement.lang, { hour: "2-digit", minute: "2-digit" });

for (const button of document.querySelectorAll("[data-nothing]")) {
  button.addEventListener("click", () => {
    const open = [...document.querySelectorAll(`#${button.dataset.nothing} .stop[data-blank]:not([hidden])`)]
      .filter((stop) => !answered(state.answers[stop.dataset.check]));
    const told = `${button.textContent}, ${clock()}.`;
    for (const stop of open) {
      const kept = state.answers[stop.dataset.check] ?? {};
      state.answers[stop.dataset.check] = { ...kept, v: `r:${stop.dataset.blank}`, group: told };
      write(stop, state.answers);
      mark(stop);
    }
    button.nextElementSibling.textContent = words.nothing_said.replace("{count}", open.length).replace("{time}", clock());
    keep();
  });
}

let coreOpen = [];

// Which core checks nobody has spoken of yet: links to them at the end, and to the first of them beside the figure.
function core(told) {
  coreOpen = told.open ? told.open.split(" ") : [];
  document.getElementById("no-signal").textContent = "";
  const open = coreOpen.map((check) => document.getElementById(`c-${check}`)).filter((stop) => stop && !stop.hidden && !stop.parentElement.hidden);
  const links = coreOpen.map((check) => document.getElementById(`c-${check}`)).filter(Boolean).map(linkTo);
  document.querySelector("#open-core ul").replaceChildren(...links);
  document.getElementById("open-core").hidden = coreOpen.length === 0;
  document.getElementById("no-time").hidden = coreOpen.length === 0;
  const next = document.getElementById("next-open");
  next.hidden = open.length === 0;
  if (open.length) next.href = `#${open[0].id}`;
  next.querySelector("span").textContent = open[0]?.querySelector("h3").textContent ?? "";
}

// Without a signal the figure stays as it was, and the core checks are counted here.
function away() {
  const stops = [...document.querySelectorAll(".stop[data-core]")];
  const open = stops.filter((stop) => !answered(state.answers[stop.dataset.check])).map((stop) => stop.dataset.check);
  core({ open: open.join(" ") });
  const count = document.querySelector("#live .count b");
  if (count) count.textContent = words.core_counted.replace("{done}", stops.length - open.length).replace("{total}", stops.length);
  document.getElementById("no-signal").textContent = words.no_signal;
}

function linkTo(stop) {
  const line = document.createElement("li");
  const name = stop.querySelector("h3").textContent;
  line.append(stop.hidden || stop.parentElement.hidden ? name : Object.assign(document.createElement("a"), { href: `#${stop.id}`, textContent: name }));
  return line;
}

document.getElementById("no-time").addEventListener("click", () => {
  for (const check of coreOpen) {
    const stop = document.getElementById(`c-${check}`);
    if (!stop) continue;
    state.answers[check] = { ...state.answers[check], v: "n:no_time" };
    write(stop, state.answers);
    mark(stop);
  }
  keep();
});

const faults = (lines, sent) => point(lines, sent, (place) => rowOf(state.papers, place, asked.as_of));

// ---- the end ---------------------------------------------------------------------------------------------------

const afresh = document.getElementById("afresh");
afresh.addEventListener("click", () => {
  if (afresh.dataset.sure) { forget(); location.reload(); return; }
  afresh.dataset.sure = "1";
  afresh.textContent = words.sure;
});

const end = () => finish(state, makeCase, words);
document.getElementById("finish").addEventListener("click", end);
addEventListener("online", () => { update(); if (state.waiting) end(); });
if (state.waiting) end();
if (state.sent) said(words.sent_already, state.sent);
update();

// Nothing that has the focus is hidden by the figure, however high it is.
const live = document.querySelector(".live");
new ResizeObserver(() => { document.documentElement.style.scrollPaddingBottom = `${live.offsetHeight + 16}px`; }).observe(live);
