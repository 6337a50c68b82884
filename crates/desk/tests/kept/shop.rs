//! The shop's files.

use crate::common::{bram, ines, on_each, on_each_with_shop, shop_files};
use base64::Engine;
use desk::kept::DeedError;

#[test]
fn a_shop_is_read_from_its_kept_files() {
    on_each_with_shop(|kept| {
        let names: Vec<String> = kept.shop_files().expect("read").into_iter().map(|(name, _, _)| name).collect();
        let known: Vec<String> = shop_files().into_iter().map(|(name, _)| name).collect();
        assert_eq!(names, known);
        let shop = kept.shop().expect("a shop");
        assert!(shop.value.find_transfer("powder-soft").is_some() || shop.value.transfers().count() > 3);
    });
}

#[test]
fn a_file_that_does_not_read_is_refused_with_its_line() {
    on_each_with_shop(|kept| {
        let (_, version, text) = file(kept, "stock.toml");
        let wrong = text.replacen("supplier = \"weir-lane\"", "supplier = \"wier-lane\"", 1);
        let faults = match kept.put_shop_file("stock.toml", &wrong, version, &ines(2)) {
            Err(DeedError::Faults(faults)) => faults,
            other => panic!("{other:?}"),
        };
        let line = text.lines().position(|line| line.starts_with("supplier")).expect("a supplier") + 1;
        assert_eq!((faults[0].file.as_str(), faults[0].line), ("stock.toml", line), "{faults:?}");
        assert_eq!(file(kept, "stock.toml"), ("stock.toml".to_owned(), version, text));
        let stranger = kept.put_shop_file("prices.toml", "version = 1", 0, &ines(2)).expect_err("refused").to_string();
        assert!(stranger.contains("prices.toml") && stranger.contains("suppliers.toml"), "{stranger}");
    });
}

#[test]
fn two_people_at_one_file_do_not_lose_each_others_work() {
    on_each_with_shop(|kept| {
        let (_, version, text) = file(kept, "stock.toml");
        let dearer = text.replacen("price = \"7.40\"", "price = \"7.90\"", 1);
        kept.put_shop_file("stock.toml", &dearer, version, &bram(2)).expect("kept");
        let mine = text.replacen("price = \"7.40\"", "price = \"7.10\"", 1);
        let refused = kept.put_shop_file("stock.toml", &mine, version, &ines(3)).expect_err("a conflict");
        let conflict = DeedError::Conflict {
            what: "shop-file stock.toml".to_owned(),
            seen: version,
            now: version + 1,
            by: "Bram".to_owned(),
        };
        assert_eq!(refused, conflict);
        assert_eq!(file(kept, "stock.toml").2, dearer);
    });
}

#[test]
fn a_new_shop_says_which_files_it_lacks() {
    on_each(|kept| {
        let faults = match kept.shop() {
            Err(DeedError::Faults(faults)) => faults,
            other => panic!("{other:?}"),
        };
        assert!(faults.iter().any(|fault| fault.file == "presses.toml"), "{faults:?}");
        let (name, text) = shop_files().into_iter().find(|(name, _)| name == "cloths.toml").expect("cloths");
        kept.put_shop_file(&name, &text, 0, &ines(1)).expect("files may come one by one");
        assert!(kept.put_shop_file(&name, "version = 1\ncolor = 3", 1, &ines(1)).is_err(), "but each must read");
    });
}

/// A mark lies beside the shop's files, is no file people write, and goes out and in as the picture it is.
#[test]
fn the_shops_mark_is_kept_as_a_picture() {
    on_each_with_shop(|kept| {
        let picture = b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 4 2'><path d='M0 0h4v2z'/></svg>";
        let text = base64::engine::general_purpose::STANDARD.encode(picture);
        let (_, version, shop) = file(kept, "shop.toml");
        let marked = shop.replacen("version = 1\n", "version = 1\nmark = \"mark.svg\"\n", 1);
        kept.put_shop_files(
            &[("shop.toml".to_owned(), marked.clone(), version), ("mark.svg".to_owned(), text.clone(), 0)],
            &ines(2),
        )
        .expect("kept");
        let mark = kept.shop().expect("a shop").value.mark.clone().expect("a mark");
        assert_eq!((mark.file.as_str(), mark.base64.as_ref()), ("mark.svg", Some(&text)));
        assert!(kept.shop_files().expect("read").iter().all(|(name, _, _)| name.ends_with(".toml")));
        let out = tempfile::tempdir().expect("a folder");
        kept.export(&out.path().join("out")).expect("written");
        assert_eq!(std::fs::read(out.path().join("out/shop/mark.svg")).expect("there"), picture);
        let read = desk::ShopFolder::open(&out.path().join("out/shop")).expect("a folder");
        assert!(read.files.contains(&("mark.svg".to_owned(), text)));
        let elsewhere = marked.replacen("mark.svg", "../mark.svg", 1);
        assert!(kept.put_shop_file("shop.toml", &elsewhere, version + 1, &ines(3)).is_err(), "not out of the folder");
    });
}

fn file(kept: &desk::kept::Kept, name: &str) -> (String, i64, String) {
    kept.shop_files().expect("read").into_iter().find(|(known, _, _)| known == name).expect("there")
}
