//! `[cost]`.

use tepid_sim::scenario::{PricedHours, Tariff};

use super::equipment::collect;
use super::person::daily;
use crate::fields::water::{COST, PRICED_HOURS};
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

pub(super) fn read(root: &Reader<'_>, problems: &Problems) -> Result<Option<Tariff>, Reported> {
    let Some(table) = root.optional_table("cost")? else {
        return Ok(None);
    };
    let reader = Reader::open(table, &COST, problems);
    let (per_kwh, currency) = (reader.quantity("electricity"), reader.optional_text("currency"));
    let (tables, whole) = reader.table_or_tables("hours");
    let hours = collect(&tables, |table| {
        let reader = Reader::open(table, &PRICED_HOURS, problems);
        let (from, to) = (reader.time_of_day("from"), reader.time_of_day("to"));
        let per_kwh = reader.quantity("electricity");
        Ok(PricedHours {
            hours: daily(&reader, from?, to?)?,
            per_kwh: per_kwh?,
        })
    });
    whole?;
    Ok(Some(Tariff {
        per_kwh: per_kwh?,
        hours: hours?,
        currency: currency?,
    }))
}
