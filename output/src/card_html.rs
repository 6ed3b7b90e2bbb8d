//! A card as a page of its own, to print on one sheet: no script, no picture, nothing loaded.

use std::fmt::Write as _;

use crate::cautions::mark_of;
use crate::records::Card;
use crate::table::{every_words, hours_words, oxygen_unsaid};
use crate::wording::{Units, glued, restated};

/// How the page looks, on a screen and on a sheet of A4 or letter paper. Nothing is told by colour alone.
const STYLE: &str = "\
@page{margin:7mm}\
body{font:7pt/1.15 sans-serif;color:#111;background:#fff;max-width:198mm;margin:4mm auto;padding:0 3mm}\
h1{font-size:13pt;margin:0;display:inline}\
h2{font-size:8.6pt;margin:1.2mm 0 .3mm}\
p{margin:.3mm 0}\
ol,ul{margin:.3mm 0;padding-left:4mm}\
.first{display:grid;grid-template-columns:1fr 1fr;gap:3mm;margin-top:1mm}\
.first section{border:.5mm solid #111;padding:0 2mm .8mm;font-size:7.4pt}\
table{border-collapse:collapse;width:100%}\
th,td{border:.2mm solid #777;padding:.25mm .8mm;text-align:left;vertical-align:top}\
th{background:#eee;font-weight:600}\
.write{min-width:15mm}\
.date{white-space:nowrap}\
.name{min-width:42mm}\
.fine{font-size:5.4pt;line-height:1.12}\
ul.fine{columns:3;column-gap:3mm;padding:0;list-style-position:inside}\
tr,li{break-inside:avoid}\
h2{break-after:avoid}\
@media print{body{margin:0;padding:0 .5mm;max-width:none}}\
@media screen{body{font-size:10pt}.first section{font-size:11pt}.fine{font-size:8pt}}\
@media (max-width:700px){.first{display:block}}";

/// The page.
#[must_use]
pub fn card_html(record: &Card, units: Units) -> String {
    // A figure stays with its unit.
    let told = |text: &str| escaped(&glued(&restated(text, units)));
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
         <title>{title}</title><style>{STYLE}</style></head><body>\n\
         <h1>{title}</h1>\n<p>{target}, band {low} to {high}; controlled by {strategy}. Put up: {date}</p>\n",
        title = escaped(&record.title),
        target = units.line(record.target_c),
        low = units.line(record.band_c[0]),
        high = units.line(record.band_c[1]),
        strategy = escaped(&record.strategy),
        date = record.date.as_deref().unwrap_or("____________"),
    );
    page += "<div class=\"first\">\n";
    for (heading, steps) in [
        ("Too hot: first", &record.too_hot),
        ("Too cold: first", &record.too_cold),
    ] {
        let items: String = steps
            .iter()
            .map(|step| format!("<li>{}</li>", told(step)))
            .collect();
        let _ = writeln!(page, "<section><h2>{heading}</h2><ol>{items}</ol></section>");
    }
    page += "</div>\n<h2>Hours there are, the most urgent first</h2>\n";
    if record.hours.is_empty() {
        page += "<p>No danger lines are stated, so no hours are told.</p>\n";
    } else {
        let rows = record
            .hours
            .iter()
            .map(|one| vec![told(&one.what), escaped(&glued(&hours_words(record, one, units)))]);
        page += &table(&["What happened", "How long there is"], rows);
        if let Some(unsaid) = oxygen_unsaid(record) {
            let _ = writeln!(page, "<p>{}</p>", escaped(unsaid));
        }
    }
    page += "<h2>Settings</h2>\n";
    let rows = record.settings.iter().map(|setting| {
        vec![
            escaped(&format!("{}: {}", setting.at, setting.what)),
            told(&setting.value),
            told(&setting.protects),
            String::new(),
        ]
    });
    page += &table(
        &[
            "What",
            "Set to",
            "What it does or protects from",
            "Your device calls it",
        ],
        rows,
    );
    page += "<h2>Tests</h2>\n";
    page += &tests(record, &told);
    page += "<h2>Cautions</h2>\n<ul class=\"fine\">";
    for caution in &record.cautions {
        let _ = write!(page, "<li>{}</li>", escaped(&caution.marked()));
    }
    page += "</ul>\n";
    let fine = record.assumptions.iter().map(|one| told(one));
    let mark = mark_of(&record.cautions).map(escaped);
    let fine: Vec<String> = mark.into_iter().chain(fine).collect();
    let _ = writeln!(page, "<p class=\"fine\">{}.</p>\n</body></html>", fine.join(". "));
    page
}

/// A cell to write on, for a date or a hand, and one for the name that a device gives a setting.
const WRITE: &str = "<td class=\"write\"></td>";
const NAME: &str = "<td class=\"name\"></td>";

/// The record to sign: tests of one kind are described once, and each part has its own line.
fn tests(record: &Card, told: &impl Fn(&str) -> String) -> String {
    let mut rows = String::new();
    for of_kind in record
        .trials
        .chunk_by(|a, b| (&a.how, &a.wanted, a.every_d) == (&b.how, &b.wanted, b.every_d))
    {
        for (at, trial) in of_kind.iter().enumerate() {
            let part = told(&trial.part);
            let _ = write!(rows, "<tr><td>{part}</td>");
            if at == 0 {
                let span = of_kind.len();
                let (how, wanted) = (told(&trial.how), told(&trial.wanted));
                let every = escaped(&every_words(trial));
                let _ = write!(
                    rows,
                    "<td rowspan=\"{span}\">{how}</td><td rowspan=\"{span}\">{wanted}</td><td rowspan=\"{span}\">{every}</td>"
                );
            }
            let written = |text: Option<&str>| {
                text.map_or_else(
                    || WRITE.to_owned(),
                    |text| format!("<td class=\"date\">{}</td>", told(text)),
                )
            };
            let replace = trial.replace.as_deref().map_or_else(String::new, told);
            let next = written(trial.next.as_deref());
            let _ = writeln!(rows, "<td class=\"date\">{replace}</td>{WRITE}{next}{WRITE}</tr>");
        }
    }
    let head = [
        "Part",
        "How",
        "Wanted",
        "How often",
        "Replace at the latest",
        "Last",
        "Next",
        "Signed",
    ];
    framed(&head, &rows)
}

/// Rows of told cells under a head.
fn table(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let rows: String = rows
        .map(|cells| {
            let cells: String = cells
                .iter()
                .map(|cell| match cell.as_str() {
                    NAME => NAME.to_owned(),
                    cell => format!("<td>{cell}</td>"),
                })
                .collect();
            format!("<tr>{cells}</tr>\n")
        })
        .collect();
    framed(head, &rows)
}

fn framed(head: &[&str], rows: &str) -> String {
    let heads: String = head
        .iter()
        .map(|one| format!("<th>{}</th>", escaped(one)))
        .collect();
    format!("<table><thead><tr>{heads}</tr></thead><tbody>\n{rows}</tbody></table>\n")
}

/// Text that means nothing to a browser.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_name_holds_is_shown_and_not_obeyed() {
        assert_eq!(
            escaped("<b>\"a & b\"</b>"),
            "&lt;b&gt;&quot;a &amp; b&quot;&lt;/b&gt;"
        );
    }
}
