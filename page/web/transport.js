// The time looked at: played, stepped, or moved by hand.

const STEP_MIN = 10;
const FRAME_MS = 90;

// It asks for the time looked at, tells a new one, and tells when playing begins.
function transportOf({ at, last, moveTo, began }) {
  let timer;
  const pause = () => {
    clearInterval(timer);
    timer = undefined;
    document.getElementById("play").textContent = "Play";
  };
  const play = () => {
    if (at() >= last()) moveTo(0);
    document.getElementById("play").textContent = "Pause";
    began();
    timer = setInterval(() => {
      const hours = Number(document.getElementById("speed").value);
      const next = Math.min(last(), Math.floor(at() + (hours * 60 * FRAME_MS) / 1000));
      if (next >= last()) pause();
      moveTo(next);
    }, FRAME_MS);
  };
  const on = (id, to) => document.getElementById(id).addEventListener("click", () => {
    pause();
    moveTo(to());
  });
  document.getElementById("play").addEventListener("click", () => {
    if (timer === undefined) {
      play();
      return;
    }
    pause();
    moveTo(at());
  });
  on("rewind", () => 0);
  on("back", () => at() - STEP_MIN);
  on("step", () => at() + STEP_MIN);
  on("end", last);
  document.getElementById("at").addEventListener("input", (event) => {
    pause();
    moveTo(Number(event.target.value));
  });
  return { pause, isPlaying: () => timer !== undefined };
}

// Whoever plays should see the chart, below the bar where that stays on top.
function bringChartIntoView() {
  const bar = document.querySelector(".time");
  const section = document.getElementById("chart-section");
  const stays = getComputedStyle(bar).position === "sticky";
  const chart = document.getElementById("chart").getBoundingClientRect();
  const above = stays ? bar.getBoundingClientRect().bottom : 0;
  if (chart.top >= above && chart.bottom <= innerHeight) return;
  (stays ? section : bar).scrollIntoView({ block: "start" });
}

// What is reached by keys must not lie under the bar.
function keepClearOfBar() {
  const bar = document.querySelector(".time");
  new ResizeObserver(() => {
    const stays = getComputedStyle(bar).position === "sticky";
    document.documentElement.style.scrollPaddingTop = stays ? `${bar.offsetHeight + 8}px` : "";
  }).observe(bar);
}
