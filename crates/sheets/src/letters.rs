//! Plain single-stroke letters for labels: drawn for this project, readable at 2 mm.
//!
//! Each letter is a few open lines on a grid 4 wide and 6 high, base line at 0.

use geometry::Point;

/// Advance from letter to letter, in letter heights.
const ADVANCE: f64 = 5.6 / 6.0;

/// The lines of a text whose letters are `height` mm high, from the origin to the right, y up.
///
/// Small letters are drawn as capitals; what has no drawing becomes a small box.
pub(crate) fn lines(text: &str, height: f64) -> Vec<Vec<Point>> {
    let unit = height / 6.0;
    let mut all = Vec::new();
    for (at, letter) in text.chars().filter(|c| !c.is_control()).enumerate() {
        let left = at as f64 * ADVANCE * height;
        for stroke in strokes(letter).split(' ').filter(|s| !s.is_empty()) {
            all.push(stroke_points(stroke).map(|(x, y)| Point::new(left + x * unit, y * unit)).collect());
        }
    }
    all
}

/// Width of a text, mm.
pub(crate) fn width(text: &str, height: f64) -> f64 {
    let count = text.chars().filter(|c| !c.is_control()).count();
    (count as f64 * ADVANCE * height - (ADVANCE - 4.0 / 6.0) * height).max(0.0)
}

fn stroke_points(stroke: &str) -> impl Iterator<Item = (f64, f64)> + '_ {
    let digit = |b: u8| f64::from(b.saturating_sub(b'0'));
    stroke.as_bytes().chunks_exact(2).map(move |pair| (digit(pair[0]), digit(pair[1])))
}

/// A letter without its accent: readable, and short enough for a label.
fn plain(letter: char) -> char {
    match letter.to_lowercase().next().unwrap_or(letter) {
        '\u{e0}'..='\u{e6}' | '\u{101}' | '\u{103}' | '\u{105}' => 'A',
        '\u{e7}' | '\u{107}' | '\u{10d}' => 'C',
        '\u{f0}' | '\u{10f}' | '\u{111}' => 'D',
        '\u{e8}'..='\u{eb}' | '\u{113}' | '\u{119}' | '\u{11b}' => 'E',
        '\u{11f}' => 'G',
        '\u{ec}'..='\u{ef}' | '\u{12b}' | '\u{131}' => 'I',
        '\u{142}' => 'L',
        '\u{f1}' | '\u{144}' | '\u{148}' => 'N',
        '\u{f2}'..='\u{f6}' | '\u{f8}' | '\u{151}' | '\u{153}' => 'O',
        '\u{159}' => 'R',
        '\u{df}' | '\u{15b}' | '\u{15f}' | '\u{161}' => 'S',
        '\u{165}' => 'T',
        '\u{f9}'..='\u{fc}' | '\u{16b}' | '\u{16f}' | '\u{171}' => 'U',
        '\u{fd}' | '\u{ff}' => 'Y',
        '\u{17a}' | '\u{17c}' | '\u{17e}' => 'Z',
        other => other.to_ascii_uppercase(),
    }
}

/// Pairs of grid digits, x then y; blanks lift the pen.
fn strokes(letter: char) -> &'static str {
    match plain(letter) {
        ' ' => "",
        'A' => "002640 1232",
        'B' => "0006364533 03334131300000",
        'C' => "4536160501104041",
        'D' => "00062645412000",
        'E' => "46060040 0333",
        'F' => "460600 0333",
        'G' => "453616050110304143 2343",
        'H' => "0006 4640 0343",
        'I' => "1636 1030 2620",
        'J' => "4641301001",
        'K' => "0006 460240 1340",
        'L' => "060040",
        'M' => "0006234640",
        'N' => "00064046",
        'O' => "16050110304145361600",
        'P' => "000636454433330300",
        'Q' => "160501103041453616 2240",
        'R' => "00063645443303 2340",
        'S' => "453616050413334241301001",
        'T' => "0646 2620",
        'U' => "060110304146",
        'V' => "062046",
        'W' => "0610233046",
        'X' => "0046 0640",
        'Y' => "062346 2320",
        'Z' => "06460040",
        '0' => "160501103041453616 0145",
        '1' => "142620 1030",
        '2' => "05163645440040",
        '3' => "0646233342413010 1001",
        '4' => "36024242 3530",
        '5' => "4606033342413010 1001",
        '6' => "36160501103041423303",
        '7' => "064610",
        '8' => "1605041333444536 1636 1302011030414233",
        '9' => "103041453616050413 1343",
        '.' => "2021",
        ',' => "2110",
        ':' => "2122 2425",
        '-' | '\u{2013}' | '\u{2212}' => "1333",
        '+' => "1333 2422",
        '/' => "0046",
        '#' => "1016 3036 0242 0444",
        '(' => "36251410 1420",
        ')' => "16253430 3420",
        '_' => "0040",
        '\u{b7}' => "2333",
        '\u{d7}' | '*' => "1133 1331",
        '=' => "0242 0444",
        '\'' => "2624",
        '&' => "402516350201102042",
        _ => "0004444000",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_keep_to_their_box() {
        for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,:-+/#()_\u{b7}\u{d7}='&\u{e9}".chars() {
            let text = letter.to_string();
            let drawn = lines(&text, 6.0);
            assert!(!drawn.is_empty(), "{letter}");
            for p in drawn.iter().flatten() {
                assert!((0.0..=4.0).contains(&p.x) && (0.0..=6.0).contains(&p.y), "{letter} {p:?}");
            }
        }
        assert!((width("AB", 6.0) - 9.6).abs() < 1e-9);
    }
}
