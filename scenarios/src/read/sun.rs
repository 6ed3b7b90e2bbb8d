//! `[[sun]]`, and the sun through a building's windows.

use tepid_sim::scenario::{DailyHours, Sun, SunShine};

use super::Index;
use super::equipment::{collect, tank_of};
use crate::fields::sun::SUN;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

pub(super) fn read_all(tables: &[&Table], index: &Index, problems: &Problems) -> Result<Vec<Sun>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &SUN, problems);
        let (name, tank, shine) = (reader.text("name"), tank_of(&reader, index), shine(&reader));
        Ok(Sun {
            name: name?,
            tank: tank?,
            shine: shine?,
        })
    })
}

/// By the clock, or an area under the weather file's sun.
pub(super) fn shine(reader: &Reader<'_>) -> Result<SunShine, Reported> {
    let (peak, area) = (reader.optional_quantity("peak"), reader.optional_quantity("area"));
    let (from, until) = (
        reader.optional_time_of_day("from"),
        reader.optional_time_of_day("until"),
    );
    let (peak, area, from, until) = (peak?, area?, from?, until?);
    let Some(area_m2) = area else {
        let Some(peak_w) = peak else {
            return Err(reader.missing("peak"));
        };
        let Some(on_ms) = from else {
            return Err(reader.missing("from"));
        };
        let Some(off_ms) = until else {
            return Err(reader.missing("until"));
        };
        return Ok(SunShine::Daily {
            peak_w,
            hours: DailyHours { on_ms, off_ms },
        });
    };
    if let Some(field) = ["peak", "from", "until"]
        .into_iter()
        .find(|field| reader.given(field))
    {
        let message = format!("sun by `area` comes from the weather file: `{field}` means nothing");
        let problem = Problem::new("peak-and-area", reader.place_of(field), message)
            .label("leave one of the two out")
            .expected("`peak`, `from` and `until`, or `area`");
        return Err(reader.report(problem));
    }
    Ok(SunShine::Weather { area_m2 })
}
