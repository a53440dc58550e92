// Faults of the answers so far lead to what they are about: a line of the papers, a check, a question to the seller.

/** `sent` is the case that was asked about, `rowOf` gives the line of the papers that was sent at a place. */
export function point(lines, sent, rowOf) {
  for (const row of document.querySelectorAll(".paper.wrong")) row.classList.remove("wrong");
  for (const line of lines) {
    const [, kind, place] = line.dataset.place.match(/^\/(service_history|findings)\/(\d+)/) ?? [];
    const about = kind === "findings" ? stopOf(sent.findings[place]) : kind && rowOf(Number(place));
    if (!about) continue;
    if (kind === "service_history") doubt(about);
    const link = line.querySelector("a");
    link.href = `#${about.id}`;
    link.hidden = false;
    link.addEventListener("click", () => open(about));
  }
}

function stopOf(finding) {
  return finding && document.getElementById(`${finding.observed_by === "seller" ? "told" : "c"}-${finding.check}`);
}

// A reading can be said to be doubtful once something is wrong with its line.
function doubt(row) {
  row.classList.add("wrong");
  row.querySelector("[data-doubtful]").hidden = false;
}

function open(about) {
  for (let box = about.querySelector(":scope > details") ?? about; box; box = box.parentElement?.closest("details")) {
    if (box.tagName === "DETAILS") box.open = true;
  }
}
