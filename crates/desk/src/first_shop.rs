//! The first shelf of a new shop, from a few answers: enough to price an order
//! today, every other value common practice and marked so.

use std::fmt::Write as _;
use units::UnitSystem;

/// What a new shop is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstShop {
    /// Its name.
    pub name: String,
    /// Currency, three letters.
    pub currency: String,
    /// What is read first.
    pub units: UnitSystem,
    /// What an hour of work costs, "26.00".
    pub hour: String,
    /// The press's plate: width and depth, "16 in".
    pub plate: (String, String),
    /// What a plain tee costs to buy, "3.20".
    pub tee: String,
    /// Two transfers with their makers' recipes.
    pub transfers: [FirstTransfer; 2],
}

/// A transfer as its maker's sheet tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstTransfer {
    /// Its name.
    pub name: String,
    /// The sheet by name and day.
    pub sheet: String,
    /// Printed in full colour and bought by the sheet, or a film cut here.
    pub printed: bool,
    /// Temperature, "155 °C".
    pub temperature: String,
    /// Time closed, "15 s".
    pub dwell: String,
    /// "hot", "warm" or "cold".
    pub peel: String,
    /// Price of a sheet of 300 × 400 mm, or of half a metre of film 500 mm wide.
    pub price: String,
}

/// The shelf's files. They are checked like any others when they are put in:
/// what was answered wrongly is told there with its line.
pub fn first_shop(of: &FirstShop) -> Vec<(String, String)> {
    let files = [
        ("shop.toml", shop(of)),
        ("presses.toml", presses(of)),
        ("cloths.toml", CLOTHS.to_owned()),
        ("garments.toml", garments(of)),
        ("transfers.toml", transfers(of)),
        ("suppliers.toml", SUPPLIERS.to_owned()),
        ("stock.toml", stock(of)),
    ];
    files.into_iter().map(|(name, text)| (name.to_owned(), text)).collect()
}

/// A text as TOML: JSON's strings are TOML's basic strings (TOML 1.0, section String).
fn quoted(text: &str) -> String {
    serde_json::to_string(&words::clean(text)).unwrap_or_else(|_| "\"\"".to_owned())
}

fn shop(of: &FirstShop) -> String {
    let units = match of.units {
        UnitSystem::Metric => "metric",
        UnitSystem::Inch => "inch",
    };
    format!(
        "# The first answers of this shop; change what differs.\nversion = 1\nname = {}\ncurrency = {}\nunits = \"{units}\"\nroom = \"20 °C\"\nrack-places = 6\n\n\
         [rates]\nlabour-per-hour = {}\noverhead-per-hour = \"0.00\"\n\n\
         # Common practice; yours outranks it.\n[pricing]\nmargin = \"40 %\"\nprice-step = \"0.05\"\nminimum-charge = \"0.00\"\n\
         deposit = \"50 %\"\nvalid-days = 21\nladder = [1, 6, 12, 24, 48, 96]\nrush = \"25 %\"\n\n\
         [spoilage]\nspare-transfers = 1\nsmall-order = 12\nspare-share = \"3 %\"\ngarment-loss = \"2 %\"\n\n\
         [[person]]\nname = \"Whoever presses\"\nhours = [{{ days = [\"monday\", \"tuesday\", \"wednesday\", \"thursday\", \
         \"friday\"], from = \"09:00\", to = \"17:00\", pause-from = \"12:30\", pause-to = \"13:00\" }}]\n",
        quoted(&of.name),
        quoted(&of.currency),
        quoted(&of.hour)
    )
}

fn presses(of: &FirstShop) -> String {
    format!(
        "version = 1\n\n[[press]]\nid = \"press\"\nname = \"The press\"\nplate-width = {0}\nplate-depth = {1}\n\
         platens = [\"plate\", \"p-11x15\", \"p-6x10\"]\nhottest = \"220 °C\"\ntemperature-step = \"1 °C\"\n\n\
         [[platen]]\nid = \"plate\"\nname = \"Full lower platen\"\nwidth = {0}\ndepth = {1}\n\n\
         [[platen]]\nid = \"p-11x15\"\nname = \"11 × 15 in platen\"\nwidth = \"11 in\"\ndepth = \"15 in\"\n\n\
         [[platen]]\nid = \"p-6x10\"\nname = \"6 × 10 in platen\"\nwidth = \"6 in\"\ndepth = \"10 in\"\n",
        quoted(&of.plate.0),
        quoted(&of.plate.1)
    )
}

const CLOTHS: &str = "# Generic classes; weigh and read the label of your own.\nversion = 1\n\n\
[[cloth]]\nid = \"jersey-cotton\"\nname = \"Cotton jersey 180\"\nfibres = [\"100 % cotton\"]\nmass = \"180 g/m²\"\nstructure = \"jersey\"\n\n\
[[cloth]]\nid = \"jersey-polyester\"\nname = \"Polyester jersey 140\"\nfibres = [\"100 % polyester\"]\nmass = \"140 g/m²\"\nstructure = \"jersey\"\n\n\
[[cloth]]\nid = \"fleece-mixed\"\nname = \"Sweatshirt fleece 280\"\nfibres = [\"80 % cotton\", \"20 % polyester\"]\nmass = \"280 g/m²\"\nstructure = \"fleece\"\n\n\
[[cloth]]\nid = \"canvas-cotton\"\nname = \"Cotton canvas 240\"\nfibres = [\"100 % cotton\"]\nmass = \"240 g/m²\"\nstructure = \"woven\"\n";

/// Usual flat measures of a plain tee, mm: chest, body, shoulder, neck width and depth, sleeve length and width
/// (common practice, no source).
const TEE: [(&str, &str, [u32; 7]); 5] = [
    ("S", "adult-small", [480, 700, 430, 175, 95, 200, 175]),
    ("M", "adult-small", [520, 720, 460, 180, 100, 210, 185]),
    ("L", "adult-small", [560, 740, 490, 185, 105, 220, 195]),
    ("XL", "adult-large", [600, 760, 520, 190, 110, 230, 205]),
    ("2XL", "adult-large", [640, 780, 550, 195, 115, 240, 215]),
];

fn garments(of: &FirstShop) -> String {
    let mut text = String::from(
        "# Measures are taken lying flat, smoothed, not stretched; measure your own.\nversion = 1\n\n[[garment]]\n\
         id = \"tee\"\nname = \"Plain tee\"\nclass = \"tee\"\nage = \"adult\"\nfeatures = [\"neck-label\"]\n\
         supplier = \"garments\"\n\n",
    );
    for (name, rgb, dye) in [("white", "#FAFAF7", "undyed"), ("black", "#1E1E20", "dark"), ("navy", "#1F2A44", "dark")]
    {
        let _ = write!(
            text,
            "[[garment.colour]]\nname = \"{name}\"\nrgb = \"{rgb}\"\ncloth = \"jersey-cotton\"\ndye = \"{dye}\"\n"
        );
    }
    for (name, band, [chest, body, shoulder, neck, deep, sleeve, wide]) in TEE {
        let _ = write!(
            text,
            "[[garment.size]]\nname = \"{name}\"\nband = \"{band}\"\nprice = {}\nmeasures = {{ chest-width = \"{chest} mm\", \
             body-length = \"{body} mm\", hem-width = \"{chest} mm\", shoulder-width = \"{shoulder} mm\", neck-width = \
             \"{neck} mm\", neck-depth = \"{deep} mm\", sleeve-length = \"{sleeve} mm\", sleeve-width = \"{wide} mm\" }}\n",
            quoted(&of.tee)
        );
    }
    text
}

fn transfers(of: &FirstShop) -> String {
    let mut text = String::from("# By the makers' sheets; nothing else sets a press.\nversion = 1\n");
    for (nth, one) in of.transfers.iter().enumerate() {
        let nth = nth + 1;
        let (kind, way, colours) = match one.printed {
            true => (
                "powder-adhesive",
                "bought",
                "finish = \"smooth\"\nfull-colour = true\nwhite-below = true\n".to_owned(),
            ),
            false => ("cut-film", "cut-in-shop", "finish = \"matt\"\n".to_owned()),
        };
        let _ = write!(
            text,
            "\n[[transfer]]\nid = \"transfer-{nth}\"\nname = {}\nkind = \"{kind}\"\nway = \"{way}\"\nstock = [\"stock-{nth}\"]\n\
             {colours}",
            quoted(&one.name)
        );
        if !one.printed {
            for (name, rgb) in [("white", "#F4F3EE"), ("black", "#1B1B1D"), ("red", "#C4252B"), ("blue", "#1F4E8C")] {
                let _ = write!(text, "\n[[transfer.colour]]\nname = \"{name}\"\nrgb = \"{rgb}\"\n");
            }
        }
        let aside = if one.peel.trim() == "hot" { "" } else { "[[transfer.recipe.step]]\ndo = \"set-aside\"\n" };
        let _ = write!(
            text,
            "\n[[transfer.recipe]]\nsheet = {}\n[[transfer.recipe.step]]\ndo = \"place\"\n[[transfer.recipe.step]]\ndo = \
             \"press\"\ntemperature = {}\ndwell = {}\npressure = \"medium\"\n{aside}[[transfer.recipe.step]]\ndo = \
             \"peel\"\npeel = {}\n",
            quoted(&one.sheet),
            quoted(&one.temperature),
            quoted(&one.dwell),
            quoted(&one.peel)
        );
    }
    text
}

const SUPPLIERS: &str = "version = 1\n\n\
[[supplier]]\nid = \"garments\"\nname = \"Our garment supplier\"\ncut-off = \"12:00\"\nproduction-days = 1\ntransit-days = 2\ncarriage = [{ from = \"0\", price = \"0.00\" }]\n\n\
[[supplier]]\nid = \"transfers\"\nname = \"Our transfer supplier\"\ncut-off = \"12:00\"\nproduction-days = 2\ntransit-days = 2\ncarriage = [{ from = \"0\", price = \"0.00\" }]\n";

fn stock(of: &FirstShop) -> String {
    let mut text = String::from("version = 1\n");
    for (nth, one) in of.transfers.iter().enumerate() {
        let (nth, name, price) = (nth + 1, quoted(&one.name), quoted(&one.price));
        let _ = match one.printed {
            true => write!(
                text,
                "\n[[sheet]]\nid = \"stock-{nth}\"\nname = {name}\nsupplier = \"transfers\"\nwidth = \"300 mm\"\nlength = \
                 \"400 mm\"\nprice = {price}\nmargin = \"6 mm\"\nturns = \"any\"\n"
            ),
            false => write!(
                text,
                "\n[[roll]]\nid = \"stock-{nth}\"\nname = {name}\nsupplier = \"transfers\"\nwidth = \"500 mm\"\nstep = \
                 \"500 mm\"\nprice-per-step = {price}\nminimum = \"500 mm\"\nmaximum = \"25 m\"\nmargin = \"8 mm\"\nturns = \
                 \"any\"\n"
            ),
        };
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use trade::form::{ShopFile, read};

    fn answers() -> FirstShop {
        let film = FirstTransfer {
            name: "Plain film \"a\"".into(),
            sheet: "Maker's card, 3 May 2026".into(),
            printed: false,
            temperature: "300 °F".into(),
            dwell: "15 s".into(),
            peel: "warm".into(),
            price: "4.50".into(),
        };
        let printed = FirstTransfer { name: "Printed".into(), printed: true, peel: "hot".into(), ..film.clone() };
        FirstShop {
            name: "Boathouse press".into(),
            currency: "EUR".into(),
            units: UnitSystem::Metric,
            hour: "24.00".into(),
            plate: ("38 cm".into(), "38 cm".into()),
            tee: "3.20".into(),
            transfers: [film, printed],
        }
    }

    fn read_all(of: &FirstShop) -> Result<trade::Shop, String> {
        let files = first_shop(of);
        let files: Vec<ShopFile<'_>> = files.iter().map(|(name, text)| ShopFile { name, text }).collect();
        read(&files)
            .map(|outcome| outcome.value)
            .map_err(|faults| faults.iter().map(|fault| format!("{fault}\n")).collect())
    }

    /// What was answered is read back; nothing else claims to be the shop's or a maker's own.
    #[test]
    fn a_few_answers_make_a_shelf_that_reads() {
        let shop = read_all(&answers()).unwrap_or_else(|faults| panic!("{faults}"));
        assert_eq!((shop.name.as_str(), shop.presses().count(), shop.transfers().count()), ("Boathouse press", 1, 2));
        let (_, film) = shop.transfers().next().expect("there");
        assert_eq!(film.name, "Plain film \"a\"");
        // 300 °F are 148.9 °C (NIST SP 811, B.8).
        let set = film.recipes[0].full_press().expect("a press").temperature.set;
        assert!((set.c() - 148.89).abs() < 0.01, "{set:?}");
        assert_eq!(film.wash.origin, report::Origin::Default);
    }

    #[test]
    fn a_wrong_answer_is_told_with_its_value() {
        for (wrong, named) in [("warmish", "warmish"), ("", "peel")] {
            let mut of = answers();
            of.transfers[0].peel = wrong.to_owned();
            let faults = read_all(&of).expect_err(wrong);
            assert!(faults.contains(named) && faults.contains("transfers.toml"), "{faults}");
        }
    }
}
