//! Currencies with the decimals of their minor unit.

use units::Currency;

/// A currency in the list, with its usual decimals.
pub(super) fn known(code: &str) -> Option<Currency> {
    let decimals = match code {
        code if NO_DECIMALS.contains(&code) => 0,
        code if THREE_DECIMALS.contains(&code) => 3,
        code if TWO_DECIMALS.contains(&code) => 2,
        _ => return None,
    };
    Currency::new(code, decimals)
}

/// Every code in small letters, for likeness.
pub(super) fn codes_lower() -> Vec<String> {
    [NO_DECIMALS, THREE_DECIMALS, TWO_DECIMALS].concat().into_iter().map(str::to_lowercase).collect()
}

// ISO 4217 list one, active codes and minor units, from memory.
const NO_DECIMALS: &[&str] =
    &["BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF"];
const THREE_DECIMALS: &[&str] = &["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"];
const TWO_DECIMALS: &[&str] = &[
    "AED", "AFN", "ALL", "AMD", "AOA", "ARS", "AUD", "AWG", "AZN", "BAM", "BBD", "BDT", "BMD", "BND", "BOB", "BRL",
    "BSD", "BTN", "BWP", "BYN", "BZD", "CAD", "CDF", "CHF", "CNY", "COP", "CRC", "CUP", "CVE", "CZK", "DKK", "DOP",
    "DZD", "EGP", "ERN", "ETB", "EUR", "FJD", "FKP", "GBP", "GEL", "GHS", "GIP", "GMD", "GTQ", "GYD", "HKD", "HNL",
    "HTG", "HUF", "IDR", "ILS", "INR", "IRR", "JMD", "KES", "KGS", "KHR", "KPW", "KYD", "KZT", "LAK", "LBP", "LKR",
    "LRD", "LSL", "MAD", "MDL", "MGA", "MKD", "MMK", "MNT", "MOP", "MRU", "MUR", "MVR", "MWK", "MXN", "MYR", "MZN",
    "NAD", "NGN", "NIO", "NOK", "NPR", "NZD", "PAB", "PEN", "PGK", "PHP", "PKR", "PLN", "QAR", "RON", "RSD", "RUB",
    "SAR", "SBD", "SCR", "SDG", "SEK", "SGD", "SHP", "SLE", "SOS", "SRD", "SSP", "STN", "SYP", "SZL", "THB", "TJS",
    "TMT", "TOP", "TRY", "TTD", "TWD", "TZS", "UAH", "USD", "UYU", "UZS", "VES", "WST", "XCD", "YER", "ZAR", "ZMW",
];
