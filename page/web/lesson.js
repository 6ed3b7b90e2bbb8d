// A lesson: the question first, its set-ups to play with, and what their runs show once somebody asks.

function lessonsInto(page, lessons) {
  const select = document.getElementById("lesson");
  select.innerHTML = '<option value="">none</option>' + lessons.map((one) => `<option value="${escaped(one.name)}">${escaped(one.title)}</option>`).join("");
  select.addEventListener("change", () => {
    const lesson = lessons.find((one) => one.name === select.value);
    if (lesson === undefined) page.leaveLesson();
    else page.enter(stateOfStage(lesson.set_ups[0]));
  });
}

// A set-up as it is first looked at: the question comes before the course.
function stateOfStage(stage) {
  const { scenario, strategies, files, sliders, acts, at } = structuredClone(stage);
  return { ...freshState(scenario, strategies, files), sliders, acts, at };
}

// Files without those of lessons.
function withoutLessons(lessons, files) {
  const theirs = new Set(lessons.flatMap((one) => one.set_ups.flatMap((stage) => stage.files.map((file) => file.name))));
  return files.filter((file) => !theirs.has(file.name));
}

// The lesson that a scenario belongs to, with the place of its set-up; undefined: none.
function lessonOf(lessons, scenario) {
  const lesson = lessons.find((one) => one.set_ups.some((stage) => stage.scenario === scenario));
  return lesson === undefined ? undefined : { lesson, stage: lesson.set_ups.findIndex((stage) => stage.scenario === scenario) };
}

// Shows the lesson that the page is in, or none. A lesson that stands there already keeps its guess and its answer.
function showLesson(page, lessons, scenario) {
  const found = lessonOf(lessons, scenario);
  const box = document.getElementById("lesson-page");
  document.getElementById("lesson").value = found === undefined ? "" : found.lesson.name;
  box.hidden = found === undefined;
  if (found === undefined) {
    box.dataset.lesson = "";
    box.innerHTML = "";
    return;
  }
  if (box.dataset.lesson !== found.lesson.name) {
    box.dataset.lesson = found.lesson.name;
    questionInto(page, box, found.lesson);
  }
  for (const button of box.querySelectorAll("[data-stage]")) button.setAttribute("aria-pressed", String(Number(button.dataset.stage) === found.stage));
}

function questionInto(page, box, lesson) {
  const choice = (words, place) => `<label class="choice"><input type="radio" name="guess" value="${place}"> <span><b>${letterOf(place)}</b> ${escaped(words)}</span></label>`;
  const stage = (one, place) => `<button type="button" data-stage="${place}">${escaped(one.label)}</button>`;
  box.innerHTML = `<div class="asked"><h3>${escaped(lesson.title)}</h3>
    <p class="note">${lesson.minutes} minutes, age ${escaped(lesson.ages)}. ${escaped(lesson.aim)}</p>
    <p>${escaped(lesson.story)}</p>
    <fieldset><legend>Guess first: ${escaped(lesson.question)}</legend>${lesson.choices.map(choice).join("")}</fieldset>
    <p class="row"><button type="button" id="reveal" disabled>Show what came out</button><span class="note" id="reveal-note">A guess opens the answer.</span></p>
    <p id="stages-words">Then try it: put a tank on the page, play it, and change what you like. What breaks is in the list “Done so far”.</p>
    <p class="row" role="group" aria-labelledby="stages-words">${lesson.set_ups.map(stage).join("")}</p></div>
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
    button.addEventListener("click", () => page.enter(stateOfStage(lesson.set_ups[Number(button.dataset.stage)])));
  }
}

// What the runs show; they were made when somebody asked.
function answerOf(told, guess) {
  const verdict = guess === told.right ? `You guessed ${letterOf(guess)}, and so it came out.` : `You guessed ${letterOf(guess)}; it came out as ${letterOf(told.right)}.`;
  const head = told.columns.map((column) => `<th scope="col">${escaped(column.words)}</th>`).join("");
  const rows = told.set_ups.map((one) => `<tr><th scope="row">${escaped(one.label)}</th>${one.words.map((figure) => `<td>${escaped(figure)}</td>`).join("")}</tr>`).join("");
  const symbols = told.equation.symbols.map((one) => `<dt>${lowered(one.symbol)}</dt><dd>${escaped(one.meaning)}</dd>`).join("");
  const next = told.next.map((one) => `<li>${escaped(one.words)}<br><code>${escaped(one.command)}</code></li>`).join("");
  const teacher = told.for_the_teacher.map((one) => `<li>${escaped(one)}</li>`).join("");
  return `<h3>What came out</h3>
    <p><b>${escaped(verdict)}</b> ${escaped(told.answer)}</p>
    <div class="scroll" tabindex="0" role="region" aria-label="Figures of the runs"><table><thead><tr><td></td>${head}</tr></thead><tbody>${rows}</tbody></table></div>
    <h3>Why</h3>${told.explanation.map((one) => `<p>${escaped(one)}</p>`).join("")}
    <h3>The equation</h3><p class="formula">${lowered(told.equation.formula)}</p><dl>${symbols}</dl><p class="note">${escaped(told.equation.source)}</p>
    <h3>Change next</h3><p>On this page, with the sliders and the acts; or in the program:</p><ul>${next}</ul>
    <details><summary>For the teacher</summary><ul>${teacher}</ul></details>`;
}

function letterOf(place) {
  return String.fromCharCode(65 + place);
}

// An equation with its indices set low: what follows "_" in "T_room".
function lowered(text) {
  return escaped(text).replace(/_([\p{L}\p{N}-]+)/gu, "<sub>$1</sub>");
}
