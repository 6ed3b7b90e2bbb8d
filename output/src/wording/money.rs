//! Amounts and prices, with the currency where one is stated.

use super::clock;
use crate::records::Tariff;

/// An amount: "12.30 EUR", or "12.30" where no currency is stated.
pub(crate) fn money(amount: f64, tariff: Option<&Tariff>) -> String {
    match tariff.and_then(|tariff| tariff.currency.as_deref()) {
        Some(currency) => format!("{amount:.2} {currency}"),
        None => format!("{amount:.2}"),
    }
}

/// All prices: "0.32 EUR per kWh, 0.20 EUR per kWh from 22:00 to 06:00".
pub(crate) fn prices(tariff: &Tariff) -> String {
    let mut text = price(tariff.per_kwh, tariff);
    for priced in &tariff.hours {
        text += &format!(
            ", {} from {} to {}",
            price(priced.per_kwh, tariff),
            clock(priced.from_h),
            clock(priced.to_h)
        );
    }
    if tariff.currency.is_none() {
        text += ", in the currency of that price";
    }
    text
}

/// A price, two decimals at least, as prices are written: "0.30 per kWh", "0.325 EUR per kWh".
pub(crate) fn price(per_kwh: f64, tariff: &Tariff) -> String {
    let rounded = format!("{:.4}", per_kwh);
    let exact = rounded.trim_end_matches('0');
    let cents = format!("{per_kwh:.2}");
    let figure = if exact.len() > cents.len() { exact } else { &cents };
    match &tariff.currency {
        Some(currency) => format!("{figure} {currency} per kWh"),
        None => format!("{figure} per kWh"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::PricedHours;

    fn tariff(currency: Option<&str>) -> Tariff {
        Tariff {
            per_kwh: 0.325,
            hours: vec![PricedHours {
                from_h: 22.5,
                to_h: 6.0,
                per_kwh: 0.2,
            }],
            mean_per_kwh: 0.28,
            currency: currency.map(str::to_owned),
        }
    }

    #[test]
    fn prices_are_told_with_their_hours_and_the_currency_where_one_is_stated() {
        assert_eq!(
            prices(&tariff(Some("EUR"))),
            "0.325 EUR per kWh, 0.20 EUR per kWh from 22:30 to 06:00"
        );
        assert_eq!(
            prices(&tariff(None)),
            "0.325 per kWh, 0.20 per kWh from 22:30 to 06:00, in the currency of that price"
        );
    }

    #[test]
    fn an_amount_has_cents_and_its_currency() {
        assert_eq!(money(12.3, Some(&tariff(Some("EUR")))), "12.30 EUR");
        assert_eq!(money(12.3, Some(&tariff(None))), "12.30");
        assert_eq!(money(12.3, None), "12.30");
    }
}
