//! `[[watch]]`.

use tepid_sim::ids::ProbeId;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{Act, Watch, WatchRule};

use super::Index;
use super::equipment::collect;
use crate::fields::watch::{ACTS, WATCH};
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

pub(super) fn read_all(
    tables: &[&Table],
    index: &Index,
    problems: &Problems,
) -> Result<Vec<Watch>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &WATCH, problems);
        let name = reader.optional_text("name");
        let probe = reader.reference("probe", &index.probes);
        let rule = rule(&reader);
        let lasting = reader.millis("lasting");
        let reaches = reader.optional_texts("reaches");
        let needs = reader.optional_choices("needs");
        let acts = acts(&reader, problems);
        let (rule, probe) = (rule?, probe?);
        let reaches = reaches?.map_or_else(
            || vec!["keeper".to_owned()],
            |people| people.into_iter().map(|(person, _)| person).collect(),
        );
        Ok(Watch {
            name: name?.unwrap_or_else(|| format!("{} {}", index.probes.described(probe), rule_words(rule))),
            probe: ProbeId(probe),
            rule,
            lasting_ms: lasting?,
            needs_power: needs?.is_some_and(|needs| needs.contains(&"power")),
            reaches,
            acts: acts?,
        })
    })
}

fn rule(reader: &Reader<'_>) -> Result<WatchRule, Reported> {
    let (above, below) = (
        reader.optional_quantity("above"),
        reader.optional_quantity("below"),
    );
    let no_reading = reader.flag("no_reading");
    match (above?, below?, no_reading?) {
        (Some(line), None, false) => Ok(WatchRule::Above(line)),
        (None, Some(line), false) => Ok(WatchRule::Below(line)),
        (None, None, true) => Ok(WatchRule::NoReading),
        _ => {
            let problem = Problem::new(
                "watch-rule",
                reader.place_of("below"),
                "a watch has exactly one of `above`, `below`, `no_reading`",
            )
            .label("one rule each")
            .expected("one rule; write two watches for two rules")
            .fix("above = \"27 °C\"");
            Err(reader.report(problem))
        }
    }
}

fn rule_words(rule: WatchRule) -> String {
    match rule {
        WatchRule::Above(line) => format!("above {}", print(Kind::Temperature, line, System::Metric)),
        WatchRule::Below(line) => format!("below {}", print(Kind::Temperature, line, System::Metric)),
        _ => "without a reading".to_owned(),
    }
}

fn acts(reader: &Reader<'_>, problems: &Problems) -> Result<Option<Act>, Reported> {
    let Some(table) = reader.optional_table("acts")? else {
        return Ok(None);
    };
    let reader = Reader::open(table, &ACTS, problems);
    let (after, does) = (reader.millis("after"), reader.choice("does"));
    does?;
    Ok(Some(Act::UnplugHeaters { after_ms: after? }))
}
