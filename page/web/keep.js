// What somebody takes along: a link, files, and the commands that run them in the program to the same bits.

// Every file once: tanks first.
function keptFiles(runs) {
  const all = [...runs.map((run) => run.scenario_file), ...runs.map((run) => run.kept).filter(Boolean)];
  return all.filter((file, nth) => all.findIndex((other) => other.name === file.name) === nth);
}

function keepInto(runs) {
  const files = keptFiles(runs);
  document.getElementById("files").innerHTML = files.map((file, nth) => `<li><button type="button" data-save="${nth}">Save ${escaped(file.name)}</button></li>`).join("");
  for (const button of document.querySelectorAll("#files [data-save]")) button.addEventListener("click", () => save(files[Number(button.dataset.save)]));
  document.getElementById("commands").innerHTML = runs.map((run) => `<li><code>${commandOf(run.command)}</code></li>`).join("");
}

// An option stays with its dashes and its value.
function commandOf(command) {
  const [begins, ...options] = command.split(" --");
  return [escaped(begins), ...options.map((option) => `<span class="option">--${escaped(option)}</span>`)].join(" ");
}

function save({ name, text }) {
  const file = document.createElement("a");
  file.href = URL.createObjectURL(new Blob([text], { type: "application/toml" }));
  file.download = name;
  file.click();
  setTimeout(() => URL.revokeObjectURL(file.href), 10000);
}
