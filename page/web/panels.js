// A panel for each run: who decides, the drawing, and the same in words.

function panelsInto(runs, beside) {
  document.getElementById("panels").innerHTML = runs.map((run, index) => {
    const key = lineKey(index);
    const dry = run.dry === undefined ? "" : `${run.dry.heater} ran dry. ${CAUTIONS.ran_dry.text}`;
    const inside = run.failed === null
      ? `<div id="drawing${index}"></div><p id="words${index}"></p><p class="dry" id="dry${index}" hidden>${escaped(dry)}</p>`
      : `<p>It gives no result here: ${escaped(run.failed)}</p>`;
    const facts = beside ? `<p class="note">${escaped(factsOf(run))}</p>` : "";
    return `<article class="panel"><div><h3>${key}<span>${escaped(run.label)}</span><span class="unseen">, ${DASH_WORDS[index]} in the chart</span></h3>
      <p class="does">${escaped(doesText(run, beside))}</p>${facts}</div>${inside}</article>`;
  }).join("");
}

// What a strategy does and what it is set to: "heats below a deadband around the setpoint and stops above it: 0.4 K deadband".
function doesText(run, beside) {
  const [strategy, ...guards] = run.workers;
  if (strategy === undefined) return "";
  const name = beside || shownName(run.strategy) !== strategy.name ? `${strategy.name}: ` : "";
  const around = guards.map((guard) => `; ${guard.name}: ${guard.summary}`).join("");
  return restated(`${name}${strategy.summary}${around} (${run.settings})`);
}

function showPanels(runs, at) {
  runs.forEach((run, index) => {
    if (run.failed !== null) return;
    const place = document.getElementById(`drawing${index}`);
    place.innerHTML = drawingOf(run, at, index, place.clientWidth);
    document.getElementById(`dry${index}`).hidden = run.dry === undefined || run.dry.minute > at;
    document.getElementById(`words${index}`).textContent = wordsOf(run, at);
  });
}

// Every part by name, with what one of its kind is for.
function partsInto(runs) {
  const kinds = new Map();
  for (const contact of runs.flatMap((run) => run.scene.contacts)) {
    if (!kinds.has(contact.kind)) kinds.set(contact.kind, { words: contact.kind_words, named: new Map() });
    kinds.get(contact.kind).named.set(contact.name, contact.decided_by);
  }
  const named = (of) => [...of].map(([name, decides]) => `${name}: ${restated(decides)}`).join("; ");
  const lines = [...kinds].map(([kind, { words, named: of }]) => [kind, `${words}. Here: ${named(of)}.`]);
  lines.push(["probe", "what the controller reads the water's temperature by; it may lag, and it may hang in the wrong place"]);
  document.getElementById("parts").innerHTML = lines.map(([kind, words]) => `<dt>${escaped(kind)}</dt><dd>${escaped(words)}</dd>`).join("");
}

// What the tank teaches; of a lesson's tank what it is, for what is said of the scenario that it was made from may not hold of it.
function teachesText(controls, state, found, runs) {
  if (state.lesson !== null) return "";
  if (found !== undefined) return `A tank of the lesson “${found.lesson.title}”. ${factsOf(runs[0])}`;
  return restated(controls.own_scenarios.includes(state.scenario) ? `${controls.title}. ${controls.summary}` : controls.summary);
}
