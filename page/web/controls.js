// What can be chosen and turned.

// A list of choices. A click in it chooses; keys only go through it: Enter or the button beside it chooses.
function chosenBy(select, button, choose) {
  let byKeys = false;
  const take = () => {
    byKeys = false;
    // A button that is gone would take the focus with it.
    if (document.activeElement === button) select.focus();
    button.hidden = true;
    choose(select.value);
  };
  select.addEventListener("pointerdown", () => { byKeys = false; });
  select.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && !button.hidden) {
      event.preventDefault();
      take();
    } else if (event.key !== "Tab" && event.key !== "Shift") {
      byKeys = true;
    }
  });
  select.addEventListener("change", () => {
    if (byKeys) button.hidden = false;
    else take();
  });
  button.addEventListener("click", take);
}

function choicesInto(page, choices) {
  chosenBy(document.getElementById("scenario"), document.getElementById("show-scenario"), page.choose);
  const strategies = document.getElementById("strategies");
  strategies.innerHTML = Array.from({ length: choices.most_strategies }, (_, nth) => `<span class="strategy"><label for="strategy${nth}">${nth + 1}<span class="unseen">. strategy</span></label><select id="strategy${nth}"></select></span>`).join("");
  strategies.addEventListener("change", () => {
    const chosen = [...strategies.querySelectorAll("select")].map((select) => select.value).filter(Boolean);
    page.change((state) => { state.strategies = [...new Set(chosen)]; });
  });
}

// Those of the program, below those from files.
function scenariosInto(choices, controls, state) {
  const option = (name, title) => `<option value="${escaped(name)}"${name === state.scenario ? " selected" : ""}>${escaped(restated(title))}</option>`;
  const own = controls.own_scenarios.map((name) => option(name, shownName(name)));
  if (state.lesson !== null) own.unshift(option("", "the tanks of the lesson"));
  const listed = choices.scenarios.map((one) => option(one.name, one.title));
  document.getElementById("scenario").innerHTML = own.length === 0 ? listed.join("") : `<optgroup label="${state.lesson === null ? "from files" : "now shown"}">${own.join("")}</optgroup><optgroup label="of the program">${listed.join("")}</optgroup>`;
  document.getElementById("show-scenario").hidden = true;
}

function strategiesInto(choices, controls, state) {
  document.getElementById("strategies-field").hidden = state.lesson !== null;
  for (let nth = 0; nth < choices.most_strategies; nth++) {
    const select = document.getElementById(`strategy${nth}`);
    const option = (name, words) => `<option value="${escaped(name)}"${state.strategies[nth] === name ? " selected" : ""}>${escaped(words)}</option>`;
    const none = nth === 0 ? "" : option("", "none");
    select.innerHTML = none + controls.strategies.map((name) => option(name, shownName(name))).join("");
    if (nth > 0 && state.strategies[nth] === undefined) select.value = "";
  }
}

function slidersInto(page, controls, state) {
  const box = document.getElementById("sliders");
  document.getElementById("sliders-note").textContent = state.lesson === null
    ? "The week is computed anew from its beginning, with the same acts at the same times."
    : "With several tanks on the page nothing is turned: put one of them on the page alone, above.";
  document.getElementById("reset").hidden = state.lesson !== null;
  box.innerHTML = controls.sliders.map((slider, nth) => {
    const value = state.sliders[slider.key] ?? slider.usual;
    const id = `slider${nth}`;
    const doc = `<p class="note" id="${id}-doc">${escaped(restated(slider.doc))}</p>`;
    const label = `<label for="${id}">${escaped(slider.label)}</label> <span class="value" id="${id}-value">${escaped(valueText(slider, value))}</span>`;
    if (slider.words !== undefined) {
      const options = slider.words.map((word) => `<option${word === value ? " selected" : ""}>${escaped(word)}</option>`).join("");
      return `<div class="slider">${label.replace(/<span.*/, "")}<select id="${id}" data-key="${escaped(slider.key)}" aria-describedby="${id}-doc">${options}</select>${doc}</div>`;
    }
    return `<div class="slider">${label}<input id="${id}" type="range" data-key="${escaped(slider.key)}" aria-describedby="${id}-doc" min="${slider.from}" max="${slider.to}" step="${slider.step}" value="${escaped(value)}">${doc}</div>`;
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
  if (slider.unit === "°C") return temperatureText(Number(value), digits);
  if (slider.unit === "K") return plus + differenceText(Number(value), digits);
  return `${plus}${Number(value).toFixed(digits)} ${slider.unit}`;
}

function cautionsInto(list, cautions, mark) {
  document.getElementById(list).innerHTML = cautions.map((one) => `<li>${escaped(one)}</li>`).join("");
  document.getElementById(mark).textContent = cautions.some((one) => one.endsWith("†")) ? CAUTIONS.mark : "";
}
