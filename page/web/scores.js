// The scores so far, one column for each run.

// A dose without bound tells no more than one that is used up many times.
function doseText(frac) {
  return frac > 10 ? "over 1000 %" : `${(100 * frac).toFixed(0)} %`;
}

const SCORES = [
  ["Inside what is wanted", "inside band", (value) => `${(100 * value).toFixed(1)} %`],
  ["Warmest above target", "overshoot", (value) => differenceText(value)],
  ["Coldest below target", "undershoot", (value) => differenceText(value)],
  ["Dose of warmth used", "hot dose", doseText],
  ["Dose of cold used", "cold dose", doseText],
  ["Closings of all contacts", "closings", (value) => value.toFixed(0)],
  ["Electricity", "energy kWh", (value) => `${value.toFixed(2)} kWh`],
  ["Evaporated, net", "evaporated kg", (value) => volumeText(value)],
];

function scoresInto(runs, controls, state) {
  const row = (words, cells) => `<tr role="row"><th scope="row" role="rowheader">${words}</th>${cells.map((one) => `<td role="cell">${one}</td>`).join("")}</tr>`;
  const head = runs.map((run) => `<th scope="col" role="columnheader">${escaped(run.label)}</th>`).join("");
  const rows = SCORES.map(([words, name, told]) => row(words, runs.map((run) => {
    const value = tallyAt(run, name, state.at);
    return value === undefined ? "–" : escaped(told(value));
  })));
  const since = (run, minute) => {
    const act = run.acts.filter((one) => one.from_min <= minute).sort((a, b) => b.from_min - a.from_min)[0];
    const doable = act && controls.acts.find((one) => one.what === act.what);
    return doable === undefined ? "" : `, ${lengthText(minute - act.from_min)} after “${escaped(actWords(doable, act.of))}”`;
  };
  const when = (run, minute) => (minute <= 0 ? "already there at the start" : `${clockText(minute)}${since(run, minute)}`);
  const untilNow = (run) => (state.at >= Math.floor(run.scene.duration_ms / 60000) ? "in the whole run" : "so far");
  const used = runs.map((run) => {
    const minute = run.used_up_ms === null ? Infinity : Math.floor(run.used_up_ms / 60000);
    return minute <= state.at ? when(run, minute) : `not ${untilNow(run)}`;
  });
  const past = runs.map((run) => {
    const lines = run.reached.map((one) => ({ ...one, minute: Math.floor(one.at_ms / 60000) })).filter((one) => one.minute <= state.at);
    return lines.length === 0 ? `none ${untilNow(run)}` : lines.map((one) => `${lineText(one.temp_c)}: ${when(run, one.minute)}`).join("<br>");
  });
  const alerts = row("Alerts", runs.map((run) => alertsText(run, state.at)));
  const table = document.getElementById("scores");
  table.style.setProperty("--runs", runs.length);
  table.innerHTML = `<thead role="rowgroup"><tr role="row"><td role="cell"></td>${head}</tr></thead><tbody role="rowgroup">${row("Dose used up", used)}${row("Danger lines reached", past)}${rows.join("")}${alerts}</tbody>`;
}

// How many, and which.
function alertsText(run, minute) {
  const raised = run.alerts.filter((one) => one.at_ms <= minute * 60000);
  const kinds = [...new Set(raised.map((one) => one.name))];
  return [String(raised.length), ...kinds.map((kind) => `${escaped(restated(kind))}: ${raised.filter((one) => one.name === kind).length}`)].join("<br>");
}

// What is shaded, and what a dose is, by the lines of what is shown.
function doseWords(runs, bands) {
  const scenes = runs.filter((run) => run.failed === null).map((run) => run.scene);
  const line = scenes.flatMap((scene) => [...scene.hot, ...scene.cold]).filter((one) => one.allowed_h !== null)[1];
  const such = line === undefined ? "" : ` Such as: ${lengthText(line.allowed_h * 60)} at ${lineText(line.temp_c)} use up all of it.`;
  const shaded = bands.map(([from, to]) => `Shaded: wanted, ${trimmed(degrees(from), 1)} to ${lineText(to)}. `).join("");
  return `${shaded}The dose is how much of what the livestock bears is used up, of warmth or of cold; 100 % is all of it.${such} The model knows temperatures, not animals.`;
}
