//! The commands that make the figures of a report again.

use tepid_output::wording::quoted;

use super::ReportRequest;

/// A scenario as it was asked for.
pub(super) struct Asking<'a> {
    /// With what else.
    pub(super) request: &'a ReportRequest<'a>,
    /// Its name or file.
    pub(super) asked: &'a str,
}

/// The command of the whole report.
pub(super) fn whole(request: &ReportRequest<'_>) -> String {
    let scenarios = request.scenarios.iter().map(|(asked, _)| quoted(asked));
    let mut words = vec!["tepid report".to_owned()];
    words.extend(scenarios);
    words.extend(strategies(request));
    words.extend(changes(request));
    words.push(format!(
        "--seed {} --runs {}{}{} -o {}",
        request.seed,
        request.runs,
        request.units.option(),
        if request.live.is_some() { " --live" } else { "" },
        quoted(request.file)
    ));
    words.join(" ")
}

impl Asking<'_> {
    /// The comparison.
    pub(super) fn compare(&self) -> String {
        self.of_all("compare", &format!("--seed {}", self.request.seed))
    }

    /// The fault matrix.
    pub(super) fn faults(&self) -> String {
        self.of_all("faults", &format!("--seed {}", self.request.seed))
    }

    /// The runs with nothing broken.
    pub(super) fn runs(&self) -> String {
        let more = format!(
            "--fault none --seed {} --replicates {}",
            self.request.seed, self.request.runs
        );
        self.of_all("compare", &more)
    }

    /// The budget.
    pub(super) fn budget(&self) -> String {
        let mut words = vec![format!("tepid budget {}", quoted(self.asked))];
        words.extend(changes(self.request));
        words.join(" ") + self.request.units.option()
    }

    /// The course of one strategy, which stands at this place among those asked for; `more` says room and fault.
    pub(super) fn course(&self, strategy: usize, more: &str) -> String {
        let name = self.request.strategies_asked.get(strategy);
        let mut words = vec![format!(
            "tepid run {} --strategy {}",
            quoted(self.asked),
            quoted(name.map_or("", String::as_str))
        )];
        words.extend(changes(self.request));
        words.push(format!(
            "--seed {}{more}{} --plot course.svg",
            self.request.seed,
            self.request.units.option()
        ));
        words.join(" ")
    }

    fn of_all(&self, subcommand: &str, more: &str) -> String {
        let mut words = vec![format!("tepid {subcommand} {}", quoted(self.asked))];
        words.extend(strategies(self.request));
        words.extend(changes(self.request));
        words.push(more.to_owned());
        words.join(" ") + self.request.units.option()
    }
}

fn strategies(request: &ReportRequest<'_>) -> impl Iterator<Item = String> {
    let asked = request.strategies_asked.iter();
    asked.map(|name| format!("--strategy {}", quoted(name)))
}

fn changes(request: &ReportRequest<'_>) -> impl Iterator<Item = String> {
    let changes = request.changes.iter();
    changes.map(|change| format!("--set {}", quoted(change)))
}
