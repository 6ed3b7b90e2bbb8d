// A lesson: the question first, its set-ups to play with, and what their runs show once somebody asks.

function lessonsInto(page, lessons) {
  const select = document.getElementById("lesson");
  select.innerHTML = '<option value="">none</option>' + lessons.map((one) => `<option value="${escaped(one.name)}">${escaped(one.title)}</option>`).join("");
  chosenBy(select, document.getElementById("show-lesson"), (name) => {
    const lesson = lessons.find((one) => one.name === name);
    if (lesson === undefined) page.leaveLesson();
    else page.enter(besideState(lesson));
  });
}

// A set-up as it is first looked at: the question comes before the course.
function stateOfStage(lesson, stage) {
  const { scenario, strategies, files, sliders, acts, at } = structuredClone(stage);
  return { ...freshState(scenario, strategies, files), sliders, acts, ...beginOf(lesson, at) };
}

// Files without those of lessons.
function withoutLessons(lessons, files) {
  const theirs = new Set(lessons.flatMap((one) => one.set_ups.flatMap((stage) => stage.files.map((file) => file.name))));
  return files.filter((file) => !theirs.has(file.name));
}

// The lesson that a state is in, with the place of its set-up, "all" where they stand beside each other; undefined: none.
function lessonOf(lessons, state) {
  if (state.lesson !== null) return { lesson: lessons.find((one) => one.name === state.lesson), stage: "all" };
  const lesson = lessons.find((one) => one.set_ups.some((stage) => stage.scenario === state.scenario));
  return lesson === undefined ? undefined : { lesson, stage: String(lesson.set_ups.findIndex((stage) => stage.scenario === state.scenario)) };
}

// Shows the lesson that the page is in, or none. A lesson that stands there already keeps its guess and its answer.
function showLesson(page, lessons, state) {
  const found = lessonOf(lessons, state);
  const box = document.getElementById("lesson-page");
  document.getElementById("lesson").value = found === undefined ? "" : found.lesson.name;
  document.getElementById("show-lesson").hidden = true;
  box.hidden = found === undefined;
  const shown = found === undefined ? "" : `${found.lesson.name} ${reader.us}`;
  if (box.dataset.lesson !== shown) {
    box.dataset.lesson = shown;
    box.innerHTML = "";
    if (found !== undefined) questionInto(page, box, found.lesson);
  }
  for (const button of box.querySelectorAll("[data-stage]")) button.setAttribute("aria-pressed", String(button.dataset.stage === found.stage));
}

function questionInto(page, box, lesson) {
  const choice = (words, place) => `<label class="choice"><input type="radio" name="guess" value="${place}"> <span><b>${letterOf(place)}</b> ${escaped(restated(words))}</span></label>`;
  const stage = (one, place) => `<button type="button" data-stage="${place}">${escaped(restated(one.label))}</button>`;
  const many = ["", "", "both tanks", "all three tanks", "all four tanks"][lesson.set_ups.length] ?? "all tanks";
  box.innerHTML = `<div class="asked"><div><h3>${escaped(lesson.title)}</h3>
    <p class="note">${lesson.minutes} minutes, age ${escaped(lesson.ages)}. ${escaped(restated(lesson.aim))}</p>
    <p>${escaped(restated(lesson.story))}</p></div>
    <div>    <fieldset><legend>Guess first: ${escaped(restated(lesson.question))}</legend>${lesson.choices.map(choice).join("")}</fieldset>
    <p class="row"><button type="button" id="reveal" disabled>Show what came out</button><span class="note" id="reveal-note">A guess opens the answer.</span></p>
    <p id="stages-words">Then try it: play ${many} in one chart, or put one on the page alone to turn and break what you like.</p>
    <p class="row" role="group" aria-labelledby="stages-words"><button type="button" data-stage="all">${many} in one chart</button>${lesson.set_ups.map(stage).join("")}</p></div></div>
    <div id="lesson-answer" tabindex="-1" hidden></div>`;
  const reveal = document.getElementById("reveal");
  for (const radio of box.querySelectorAll("[name=guess]")) {
    radio.addEventListener("change", () => {
      reveal.disabled = false;
      document.getElementById("reveal-note").textContent = `Your guess: ${letterOf(Number(radio.value))}.`;
    });
  }
  reveal.addEventListener("click", () => {
    const guess = Number(box.querySelector("[name=guess]:checked").value);
    const answer = document.getElementById("lesson-answer");
    answer.innerHTML = answerOf(page.lesson(lesson.name), guess);
    answer.hidden = false;
    answer.focus();
  });
  for (const button of box.querySelectorAll("[data-stage]")) {
    const { stage } = button.dataset;
    button.addEventListener("click", () => page.enter(stage === "all" ? besideState(lesson) : stateOfStage(lesson, lesson.set_ups[Number(stage)])));
  }
}

// What the runs show; they were made when somebody asked.
function answerOf(told, guess) {
  const verdict = guess === told.right ? `You guessed ${letterOf(guess)}, and so it came out.` : `You guessed ${letterOf(guess)}; it came out as ${letterOf(told.right)}.`;
  const head = told.columns.map((column) => `<th scope="col" role="columnheader">${escaped(restated(column.words))}</th>`).join("");
  const rows = told.set_ups.map((one) => `<tr role="row"><th scope="row" role="rowheader">${escaped(restated(one.label))}</th>${one.words.map((figure) => `<td role="cell">${escaped(restated(figure))}</td>`).join("")}</tr>`).join("");
  const symbols = told.equation.symbols.map((one) => `<dt>${lowered(one.symbol)}</dt><dd>${escaped(one.meaning)}</dd>`).join("");
  const next = told.next.map((one) => `<li>${escaped(restated(one.words))}<br><code>${escaped(one.command)}</code></li>`).join("");
  const teacher = told.for_the_teacher.map((one) => `<li>${escaped(restated(one))}</li>`).join("");
  return `<h3>What came out</h3>
    <p><b>${escaped(verdict)}</b> ${escaped(restated(told.answer))}</p>
    <table class="figures" role="table" style="--runs: ${told.columns.length}"><thead role="rowgroup"><tr role="row"><td role="cell"></td>${head}</tr></thead><tbody role="rowgroup">${rows}</tbody></table>
    <h3>Why</h3>${told.explanation.map((one) => `<p>${escaped(restated(one))}</p>`).join("")}
    <h3>The equation</h3><p class="formula">${lowered(told.equation.formula)}</p><dl>${symbols}</dl><p class="note">${escaped(told.equation.source)}</p>
    <h3>Change next</h3><p>On this page, with the sliders and the acts; or in the program:</p><ul>${next}</ul>
    <details><summary>For the teacher</summary><ul>${teacher}</ul></details>`;
}

function letterOf(place) {
  return String.fromCharCode(65 + place);
}

// An equation with indices set low, what follows "_" in "T_room", and powers set high, what stands in "e^(−t/τ)".
function lowered(text) {
  return escaped(text).replace(/\^\(([^()]*)\)/g, "<sup>$1</sup>").replace(/_([\p{L}\p{N}-]+)/gu, "<sub>$1</sub>");
}
