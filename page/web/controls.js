// What can be chosen, turned and done.

function choicesInto(page, choices) {
  const scenario = document.getElementById("scenario");
  scenario.addEventListener("change", () => page.choose(scenario.value));
  const strategies = document.getElementById("strategies");
  strategies.innerHTML = Array.from({ length: choices.most_strategies }, (_, nth) => `<span class="strategy"><label for="strategy${nth}">${nth + 1}<span class="unseen">. strategy</span></label><select id="strategy${nth}"></select></span>`).join("");
  strategies.addEventListener("change", () => {
    const chosen = [...strategies.querySelectorAll("select")].map((select) => select.value).filter(Boolean);
    page.change((state) => { state.strategies = [...new Set(chosen)]; });
  });
}

// Those of the program, below those from files.
function scenariosInto(choices, controls, state) {
  const option = (name, title) => `<option value="${escaped(name)}"${name === state.scenario ? " selected" : ""}>${escaped(title)}</option>`;
  const own = controls.own_scenarios.map((name) => option(name, name));
  document.getElementById("scenario").innerHTML = own.join("") + choices.scenarios.map((one) => option(one.name, one.title)).join("");
  document.getElementById("teaches").textContent = controls.own_scenarios.includes(state.scenario) ? `${controls.title}. ${controls.summary}` : controls.summary;
}

function strategiesInto(choices, controls, state) {
  for (let nth = 0; nth < choices.most_strategies; nth++) {
    const select = document.getElementById(`strategy${nth}`);
    const option = (name, words) => `<option value="${escaped(name)}"${state.strategies[nth] === name ? " selected" : ""}>${escaped(words)}</option>`;
    const none = nth === 0 ? "" : option("", "none");
    select.innerHTML = none + controls.strategies.map((name) => option(name, name)).join("");
    if (nth > 0 && state.strategies[nth] === undefined) select.value = "";
    const chosen = choices.strategies.find((one) => one.name === state.strategies[nth]);
    select.title = chosen === undefined ? "" : chosen.summary;
  }
}

function slidersInto(page, controls, state) {
  const box = document.getElementById("sliders");
  box.innerHTML = controls.sliders.map((slider, nth) => {
    const value = state.sliders[slider.key] ?? slider.usual;
    const id = `slider${nth}`;
    const label = `<label for="${id}" title="${escaped(slider.doc)}">${escaped(slider.label)}</label> <span class="value" id="${id}-value">${escaped(valueText(slider, value))}</span>`;
    if (slider.words !== undefined) {
      const options = slider.words.map((word) => `<option${word === value ? " selected" : ""}>${escaped(word)}</option>`).join("");
      return `<div class="slider">${label.replace(/<span.*/, "")}<select id="${id}" data-key="${escaped(slider.key)}">${options}</select></div>`;
    }
    return `<div class="slider">${label}<input id="${id}" type="range" data-key="${escaped(slider.key)}" min="${slider.from}" max="${slider.to}" step="${slider.step}" value="${escaped(value)}"></div>`;
  }).join("");
  controls.sliders.forEach((slider, nth) => {
    const input = document.getElementById(`slider${nth}`);
    const value = () => (slider.words === undefined ? Number(input.value) : input.value);
    if (slider.words === undefined) {
      input.setAttribute("aria-valuetext", valueText(slider, value()));
      input.addEventListener("input", () => {
        document.getElementById(`slider${nth}-value`).textContent = valueText(slider, value());
        input.setAttribute("aria-valuetext", valueText(slider, value()));
      });
    }
    input.addEventListener("change", () => page.change((to) => {
      if (value() === slider.usual) delete to.sliders[slider.key];
      else to.sliders[slider.key] = value();
    }));
  });
}

function valueText(slider, value) {
  if (slider.words !== undefined) return value;
  const digits = slider.step < 1 ? 1 : 0;
  if (slider.key === "room" && Number(value) === 0) return "as stated";
  const plus = slider.key === "room" && value > 0 ? "+" : "";
  return `${plus}${Number(value).toFixed(digits)} ${slider.unit}`;
}

// "weld relay left shut", "cut the power"
function actWords(doable, target) {
  const [verb, ...rest] = doable.words.split(" ");
  return target === "" ? doable.words : [verb, target, ...rest].join(" ");
}

function actsInto(page, controls) {
  const box = document.getElementById("acts");
  box.innerHTML = controls.acts.flatMap((doable) => doable.targets.map((target) => `<button type="button" data-what="${escaped(doable.what)}" data-of="${escaped(target)}">${escaped(actWords(doable, target))}</button>`)).join("");
  for (const button of box.querySelectorAll("button")) {
    button.addEventListener("click", () => page.act(button.dataset.what, button.dataset.of));
  }
}

function doneInto(page, controls, state) {
  const list = document.getElementById("done");
  const doable = (act) => controls.acts.find((one) => one.what === act.what);
  const words = (act) => {
    const until = act.to_min == null ? "" : `, undone ${clockText(act.to_min)}`;
    return `${clockText(act.from_min)}: ${doable(act) === undefined ? act.what : actWords(doable(act), act.of)}${until}`;
  };
  const shown = state.acts.map((act, nth) => {
    const undo = isUnderWay(act, state.at) ? `<button type="button" data-undo="${nth}">Undo: ${escaped(doable(act)?.undo_words ?? "undo")}…</button>` : "";
    return `<li>${escaped(words(act))}<br>${undo}<button type="button" data-forget="${nth}" aria-label="Forget: ${escaped(words(act))}">Forget it</button></li>`;
  });
  const html = shown.length > 0 ? shown.join("") : "<li>nothing yet</li>";
  if (list.dataset.shown !== html) {
    list.dataset.shown = html;
    list.innerHTML = html;
    for (const button of list.querySelectorAll("[data-undo]")) button.addEventListener("click", () => page.askUndo(Number(button.dataset.undo)));
    for (const button of list.querySelectorAll("[data-forget]")) button.addEventListener("click", () => page.change((to) => to.acts.splice(Number(button.dataset.forget), 1)));
  }
  for (const button of document.querySelectorAll("#acts button")) {
    button.disabled = state.acts.some((act) => act.what === button.dataset.what && act.of === button.dataset.of && isUnderWay(act, state.at));
  }
}

// A dose without bound tells no more than one that is used up many times.
function doseText(frac) {
  return frac > 10 ? "over 1000 %" : `${(100 * frac).toFixed(0)} %`;
}

const SCORES = [
  ["Inside what is wanted", "inside band", (value) => `${(100 * value).toFixed(1)} %`],
  ["Warmest above target", "overshoot", (value) => `${value.toFixed(2)} K`],
  ["Coldest below target", "undershoot", (value) => `${value.toFixed(2)} K`],
  ["Borne of warmth", "hot dose", doseText],
  ["Borne of cold", "cold dose", doseText],
  ["Closings of all contacts", "closings", (value) => value.toFixed(0)],
  ["Electricity", "energy kWh", (value) => `${value.toFixed(2)} kWh`],
  ["Evaporated", "evaporated kg", (value) => `${value.toFixed(1)} kg`],
  ["Alerts", "alerts", (value) => value.toFixed(0)],
];

function scoresInto(played, controls, state) {
  const head = played.runs.map((run) => `<th scope="col">${escaped(run.strategy)}</th>`).join("");
  const rows = SCORES.map(([words, name, told]) => {
    const cells = played.runs.map((run) => {
      const value = tallyAt(run, name, state.at);
      return `<td>${value === undefined ? "–" : told(value)}</td>`;
    });
    return `<tr><th scope="row">${words}</th>${cells.join("")}</tr>`;
  });
  const since = (minute) => {
    const act = state.acts.filter((one) => one.from_min <= minute).sort((a, b) => b.from_min - a.from_min)[0];
    const doable = act && controls.acts.find((one) => one.what === act.what);
    return doable === undefined ? "" : `, ${lengthText(minute - act.from_min)} after "${escaped(actWords(doable, act.of))}"`;
  };
  const past = played.runs.map((run) => {
    const lines = run.reached.map((one) => ({ ...one, minute: Math.floor(one.at_ms / 60000) })).filter((one) => one.minute <= state.at);
    return `<td>${lines.length === 0 ? "none so far" : lines.map((one) => `${one.temp_c} °C ${clockText(one.minute)}${since(one.minute)}`).join("<br>")}</td>`;
  });
  const used = played.runs.map((run) => {
    const minute = run.used_up_ms === null ? Infinity : run.used_up_ms / 60000;
    return `<td>${minute <= state.at ? `used up ${clockText(Math.floor(minute))}${since(Math.floor(minute))}` : "not used up so far"}</td>`;
  });
  const verdict = `<tr><th scope="row">What the livestock bears</th>${used.join("")}</tr><tr><th scope="row">Danger lines reached</th>${past.join("")}</tr>`;
  document.getElementById("scores").innerHTML = `<thead><tr><th scope="row"></th>${head}</tr></thead><tbody>${verdict}${rows.join("")}</tbody>`;
}

function cautionsInto(list, cautions, mark) {
  document.getElementById(list).innerHTML = cautions.map((one) => `<li>${escaped(one)}</li>`).join("");
  document.getElementById(mark).textContent = cautions.some((one) => one.endsWith("†")) ? CAUTIONS.mark : "";
}
