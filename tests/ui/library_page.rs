//! The person's own profiles on the page of units: described there by themselves, changed, deleted and brought back, over real
//! files.

use std::path::PathBuf;

use egui::{Key, Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use pourcast::garden::{
    Catalog, Crop, MOST_OWN_CROPS, OwnKind, OwnProfile, OwnWater, Partner, Product, ProductRef, SourceWater, WaterKind,
    WaterReport,
};
use pourcast::store::{Folders, Library, UnitFile, profile_text, read_profile};
use pourcast::ui::command::Command;
use rstest::rstest;

use super::clipping::{Scrolled, assert_nothing_clipped, assert_sheet_unclipped};
use super::flows::{MORNING_S, Trial, window};
use super::pictures::{keep_of, word};

fn rain(id: &str, name: &str, ec_ms_cm: f64) -> OwnProfile {
    let water = SourceWater { ec_ms_cm: Some(ec_ms_cm), ..SourceWater::of_kind(WaterKind::Rain) };
    OwnProfile::Water(Box::new(OwnWater { id: id.to_owned(), name: name.to_owned(), water, note: None }))
}

fn feed(id: &str, name: &str) -> OwnProfile {
    let catalog = Catalog::shipped().expect("the shipped profiles");
    OwnProfile::Product(Box::new(catalog.products[0].clone())).called(id.to_owned(), name.to_owned())
}

fn cress(id: &str, name: &str) -> OwnProfile {
    let text = include_str!("../fixtures/crop_v1.ron");
    let crop = pourcast::store::profile_from_text(text.as_bytes(), std::path::Path::new("x")).expect("a crop");
    crop.called(id.to_owned(), name.to_owned())
}

/// A window on the page of units, over these profiles.
fn with(look: Theme, profiles: Vec<OwnProfile>) -> Trial {
    let home = tempfile::tempdir().expect("a folder");
    let folders = Folders::below(home.path());
    for profile in profiles {
        Library::take_in(&folders, profile, None).expect("a profile");
    }
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    open_fold(&mut trial);
    trial
}

fn open_fold(trial: &mut Trial) {
    trial.press(Role::Tab, "Units");
    let folds = trial.harness.get_all_by_role(Role::DisclosureTriangle);
    let names = folds.filter_map(|node| node.accesskit_node().label());
    let name = names.into_iter().find(|name| name.starts_with("Your library")).expect("the fold");
    trial.press(Role::DisclosureTriangle, &name);
}

/// The fold is as it was left.
fn open_fold_again(trial: &mut Trial) {
    trial.press(Role::Tab, "Units");
}

fn folders(trial: &Trial) -> Folders {
    Folders::below(trial.home.path())
}

fn file(trial: &Trial, kind: OwnKind, name: &str) -> PathBuf {
    folders(trial).profiles(kind).join(format!("{name}.ron"))
}

fn on_disk(trial: &Trial, kind: OwnKind, name: &str) -> OwnProfile {
    read_profile(&file(trial, kind, name)).expect("a profile").profile
}

fn product_of(profile: OwnProfile) -> Product {
    let OwnProfile::Product(product) = profile else { panic!("no product") };
    *product
}

fn water_of(profile: OwnProfile) -> OwnWater {
    let OwnProfile::Water(water) = profile else { panic!("no water") };
    *water
}

fn crop_of(profile: OwnProfile) -> Crop {
    let OwnProfile::Crop(crop) = profile else { panic!("no crop") };
    *crop
}

/// Takes an entry of a pick list that may be longer than what is in sight.
fn take(trial: &mut Trial, list: &str, words: &str) {
    trial.press(Role::ComboBox, list);
    let entry = |trial: &Trial| {
        let found = by().label(words).predicate(|node| matches!(node.role(), Role::ListBoxOption | Role::Button));
        trial.harness.get_all(found).last().map(|node| (node.scroll_to_me(), node.rect())).expect("a choice").1
    };
    entry(trial);
    trial.settle();
    let at = entry(trial).center();
    trial.harness.hover_at(at);
    trial.harness.drag_at(at);
    trial.harness.drop_at(at);
    trial.settle();
}

fn says(trial: &Trial, words: &str) {
    assert!(trial.harness.query_all_by_label_contains(words).next().is_some(), "{words:?} is not on the page");
}

#[rstest]
fn the_library_is_filled_without_a_unit(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = with(look, Vec::new());
    trial.press(Role::Link, "New product");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "It needs a name");
    trial.type_into("Name of the product", "Grüne Flasche");
    trial.fill("Total N, %", "4");
    assert!(trial.harness.query_by_role_and_label(Role::ComboBox, "Measured with").is_none(), "a matter of each unit");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "“Grüne Flasche” is in your library");
    let files: Vec<_> = std::fs::read_dir(folders(&trial).profiles(OwnKind::Product)).expect("a folder").collect();
    assert_eq!(files.len(), 1);
    let product = product_of(read_profile(&files[0].as_ref().expect("a file").path()).expect("a profile").profile);
    assert_eq!((product.id.as_str(), product.name.as_str()), ("gr-ne-flasche", "Grüne Flasche"));

    trial.press(Role::Link, "New water");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "The name is empty");
    trial.type_into("Name of the water", "Rain barrel");
    trial.choose("Kind of water", "Rain water");
    trial.fill("EC, mS/cm", "0,04");
    trial.fill("Note on the water", "Court, after a week");
    trial.press(Role::Button, "Keep it in your library");
    let water = water_of(on_disk(&trial, OwnKind::Water, "Rain barrel"));
    assert_eq!(
        (water.id.as_str(), water.water.kind, water.water.ec_ms_cm),
        ("rain-barrel", WaterKind::Rain, Some(0.04))
    );
    assert_eq!(water.note.as_deref(), Some("Court, after a week"));

    trial.press(Role::Link, "New crop");
    trial.harness.get_by_label("A crop of my own");
    trial.type_into("Name of the crop", "Sill mix");
    trial.type_into("pH from, growing", "6.5");
    trial.type_into("pH to, growing", "5.5");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "pH 6.5 to 5.5 is upside down");
    trial.type_into("pH to, growing", "60");
    trial.press(Role::Button, "Keep it in your library");
    assert!(!file(&trial, OwnKind::Crop, "Sill mix").exists(), "a number that is none is not passed over");
    trial.type_into("pH to, growing", "6.9");
    trial.press(Role::Button, "Keep it in your library");
    let crop = crop_of(on_disk(&trial, OwnKind::Crop, "Sill mix"));
    assert_eq!((crop.id.as_str(), crop.set_bands()[0].ph), ("sill-mix", Some((6.5, 6.9))));
    trial.harness.get_by_role_and_label(Role::DisclosureTriangle, "Your library (3)");
    // All three are there for a new unit at once.
    let catalog = Catalog::shipped().expect("the shipped profiles");
    let (_, clashes) = catalog.with_own(&folders(&trial).read_library().own());
    assert_eq!(clashes, []);
}

#[rstest]
fn a_profile_is_changed_in_its_file_and_units_keep_their_copy(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let home = tempfile::tempdir().expect("a folder");
    Library::take_in(&Folders::below(home.path()), feed("green", "Green bottle"), None).expect("a profile");
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    trial.choose("Feed", "Green bottle, yours");
    trial.begin();
    let before = trial.unit();
    open_fold(&mut trial);
    trial.press(Role::Link, "Change: Green bottle, product");
    says(&trial, "Units keep the one they have");
    // Kept as it is, nothing of it changes, also not what the sheet cannot show.
    let was = on_disk(&trial, OwnKind::Product, "Green bottle");
    trial.press(Role::Button, "Keep it in your library");
    assert_eq!(on_disk(&trial, OwnKind::Product, "Green bottle"), was);
    trial.press(Role::Link, "Change: Green bottle, product");
    trial.type_into("Name of the product", "Blue bottle");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "“Blue bottle” is kept in your library; units keep the one they have");
    assert!(!file(&trial, OwnKind::Product, "Green bottle").exists(), "its file follows its name");
    let product = product_of(on_disk(&trial, OwnKind::Product, "Blue bottle"));
    assert_eq!((product.id.as_str(), product.name.as_str()), ("green", "Blue bottle"));
    assert_eq!(trial.unit(), before, "the unit has its own copy");
    assert!(matches!(&before.shelf[0].product, ProductRef::Own(product) if product.name == "Green bottle"));
    // There it is offered, and taken with its tools by a press.
    trial.press(Role::Tab, "Shelf");
    says(&trial, "Your library has it otherwise by now");
    trial.press(Role::Link, "Take Green bottle from the library");
    let after = trial.unit();
    assert!(matches!(&after.shelf[0].product, ProductRef::Own(here) if **here == product));
    assert_eq!((after.shelf[0].tool, after.shelf.len()), (before.shelf[0].tool, before.shelf.len()));
    assert!(trial.harness.query_all_by_label_contains("otherwise by now").next().is_none());
}

#[rstest]
fn a_part_of_a_feed_stays_one_when_it_is_changed_in_the_library(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let part = |id: &str, name: &str, other: &str| {
        let mut product = product_of(feed(id, name));
        product.partner = Some(Partner { product_id: other.to_owned(), ratio: 1.5, first: true });
        OwnProfile::Product(Box::new(product))
    };
    let mut trial = with(look, vec![part("green-a", "Green A", "green-b"), part("green-b", "Green B", "green-a")]);
    trial.press(Role::Link, "Change: Green A, product");
    trial.type_into("Name of the product", "Green one");
    trial.press(Role::Button, "Keep it in your library");
    let changed = product_of(on_disk(&trial, OwnKind::Product, "Green one"));
    assert_eq!((changed.id.as_str(), changed.partner), ("green-a", product_of(part("", "", "green-b")).partner));
}

#[rstest]
fn a_crop_of_the_library_is_taken_anew_unless_it_has_lost_its_stage(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let home = tempfile::tempdir().expect("a folder");
    Library::take_in(&Folders::below(home.path()), cress("sill-cress", "Sill cress"), None).expect("a profile");
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    take(&mut trial, "Crop", "Sill cress, yours");
    trial.begin();
    let (before, stage_id) = (trial.unit(), trial.unit().stage_id);
    open_fold(&mut trial);
    trial.press(Role::Link, "Change: Sill cress, crop");
    trial.type_into("pH from, growing", "5.8");
    trial.type_into("pH to, growing", "6.4");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "“Sill cress” is kept in your library; units keep the one they have");
    assert_eq!(trial.unit(), before, "the unit has its own copy");
    trial.press(Role::Tab, "Crops");
    trial.press(Role::Button, "Take the library’s");
    trial.harness.get_by_label("Sill cress is as your library has it");
    let mut taken = trial.unit();
    assert_eq!(OwnProfile::Crop(Box::new(taken.own_crops.remove(0))), on_disk(&trial, OwnKind::Crop, "Sill cress"));
    // A version without the stage that it grows at is refused in words.
    open_fold_again(&mut trial);
    trial.press(Role::Link, "Change: Sill cress, crop");
    trial.press(Role::Link, &format!("Remove {stage_id}"));
    trial.press(Role::Button, "Keep it in your library");
    let before = trial.unit();
    trial.press(Role::Tab, "Crops");
    trial.press(Role::Button, "Take the library’s");
    says(&trial, "Sill cress grows here at");
    assert_eq!(trial.unit(), before);
}

#[rstest]
fn what_cannot_be_kept_is_said_on_the_sheet_and_the_file_stays(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial =
        with(look, vec![rain("a", "Barrel A", 0.04), rain("b", "Barrel B", 0.05), cress("sill-cress", "Sill cress")]);
    let before = std::fs::read(file(&trial, OwnKind::Water, "Barrel A")).expect("a file");
    trial.press(Role::Link, "Change: Barrel A, water");
    trial.type_into("Name of the water", "barrel b");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "You have a water called “Barrel B” already: give this one another name");
    trial.type_into("Name of the water", " ");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "The name is empty");
    trial.type_into("Name of the water", "Barrel A");
    trial.fill("EC, mS/cm", "50");
    trial.press(Role::Button, "Keep it in your library");
    assert!(trial.harness.query_by_label("A water of yours").is_some(), "the sheet stays");
    trial.press(Role::Button, "Cancel");
    assert_eq!(std::fs::read(file(&trial, OwnKind::Water, "Barrel A")).expect("a file"), before);

    trial.press(Role::Link, "Change: Sill cress, crop");
    trial.type_into("Name of the crop", "Lettuce");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "There is a crop called Lettuce already");
    trial.press(Role::Button, "Never mind");
    assert_eq!(on_disk(&trial, OwnKind::Crop, "Sill cress"), cress("sill-cress", "Sill cress"));
}

#[rstest]
fn a_file_that_someone_else_changed_is_not_written_over(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = with(look, vec![rain("barrel", "Rain barrel", 0.04)]);
    let path = file(&trial, OwnKind::Water, "Rain barrel");
    trial.press(Role::Link, "Change: Rain barrel, water");
    trial.fill("EC, mS/cm", "0.08");
    let theirs = profile_text(&rain("barrel", "Rain barrel", 0.2), &path).expect("text");
    std::fs::write(&path, &theirs).expect("a file");
    trial.press(Role::Button, "Keep it in your library");
    says(&trial, "the file was changed by another program");
    trial.press(Role::Button, "Put this away");
    assert_eq!(std::fs::read_to_string(&path).expect("a file"), theirs);
    assert!(trial.harness.query_by_label("A water of yours").is_some(), "what was typed is still there");
    trial.press(Role::Button, "Keep it in your library");
    trial.press(Role::Button, "Keep mine beside it");
    assert_eq!(std::fs::read_to_string(&path).expect("a file"), theirs);
    let mine = water_of(on_disk(&trial, OwnKind::Water, "Rain barrel 2"));
    assert_eq!((mine.id.as_str(), mine.water.ec_ms_cm), ("rain-barrel-2", Some(0.08)));
    // A file that is gone is made again: what was typed is not lost.
    trial.press(Role::Link, "Change: Rain barrel, water");
    trial.fill("EC, mS/cm", "0.06");
    std::fs::remove_file(&path).expect("gone");
    trial.press(Role::Button, "Keep it in your library");
    let again = water_of(on_disk(&trial, OwnKind::Water, "Rain barrel"));
    assert_eq!((again.id.as_str(), again.water.ec_ms_cm), ("barrel", Some(0.06)));
}

#[rstest]
fn a_damaged_file_has_no_sheet_and_one_that_makes_no_sense_is_mended_there(
    #[values(Theme::Light, Theme::Dark)] look: Theme,
) {
    let home = tempfile::tempdir().expect("a folder");
    let folder = Folders::below(home.path()).profiles(OwnKind::Water);
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("cut.ron"), "(version: 1, water: (").expect("a file");
    let sea = rain("Sea!", "Sea", 50.0);
    std::fs::write(folder.join("Sea.ron"), profile_text(&sea, &folder).expect("text")).expect("a file");
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    open_fold(&mut trial);
    trial.harness.get_by_role_and_label(Role::Link, "Delete: cut");
    assert!(trial.harness.query_by_role_and_label(Role::Link, "Change: cut").is_none());
    trial.press(Role::Link, "Change: Sea");
    trial.fill("EC, mS/cm", "0.5");
    trial.press(Role::Button, "Keep it in your library");
    let mended = on_disk(&trial, OwnKind::Water, "Sea");
    assert_eq!((mended.check(), mended.id()), (Vec::new(), "sea"));
    assert_eq!(std::fs::read_to_string(folder.join("cut.ron")).expect("a file"), "(version: 1, water: (");
}

#[rstest]
fn what_is_deleted_comes_back_and_clashes_are_for_the_person(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = with(look, vec![rain("barrel", "Rain barrel", 0.04)]);
    let path = file(&trial, OwnKind::Water, "Rain barrel");
    let before = std::fs::read(&path).expect("a file");
    trial.press(Role::Link, "Delete: Rain barrel, water");
    trial.harness.get_by_label("Deleted: “Rain barrel”");
    assert!(!path.exists());
    trial.press(Role::Link, "Bring it back");
    assert_eq!(std::fs::read(&path).expect("a file"), before);
    says(&trial, "“Rain barrel” is back");
    // Deleted, and another one of its name described meanwhile.
    trial.press(Role::Link, "Delete: Rain barrel, water");
    trial.press(Role::Link, "New water");
    trial.type_into("Name of the water", "Rain barrel");
    trial.fill("EC, mS/cm", "0.3");
    trial.press(Role::Button, "Keep it in your library");
    trial.press(Role::DisclosureTriangle, "Deleted profiles (1)");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    let back = "Bring it back: Rain barrel, water, deleted Mon 2 Mar 2026, 09:00";
    trial.press(Role::Link, back);
    says(&trial, "You have a water called “Rain barrel” already, and it is another one. What shall become of them?");
    trial.press(Role::Button, "Leave it deleted");
    assert_eq!(water_of(on_disk(&trial, OwnKind::Water, "Rain barrel")).water.ec_ms_cm, Some(0.3));
    trial.press(Role::Link, back);
    trial.press(Role::Button, "Bring it back as “Rain barrel 2”");
    let second = water_of(on_disk(&trial, OwnKind::Water, "Rain barrel 2"));
    assert_eq!((second.id.as_str(), second.water.ec_ms_cm), ("barrel", Some(0.04)));
    assert!(trial.harness.query_all_by_label_contains("has the id").next().is_none());
    // Once more, now in the place of mine.
    trial.press(Role::Link, "Delete: Rain barrel 2, water");
    let deleted = folders(&trial).list_deleted_profiles();
    let (_, gone) = deleted.first().expect("it is there");
    let text = profile_text(&rain("barrel", "Rain barrel", 0.04), &gone.path).expect("text");
    std::fs::write(&gone.path, text).expect("a file");
    trial.press(Role::DisclosureTriangle, "Deleted profiles (1)");
    trial.press(Role::DisclosureTriangle, "Deleted profiles (1)");
    trial.press(Role::Link, "Bring it back: Rain barrel 2, water, deleted Mon 2 Mar 2026, 09:00");
    trial.press(Role::Button, "Delete mine, and bring this one back");
    let own = folders(&trial).read_library().own();
    assert_eq!(own.waters.iter().map(|own| own.water.ec_ms_cm).collect::<Vec<_>>(), [Some(0.04)]);
    trial.harness.get_by_role_and_label(Role::DisclosureTriangle, "Deleted profiles (1)");
}

#[rstest]
fn the_way_back_comes_into_sight_however_long_the_list(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial =
        with(look, (0..40).map(|n| rain(&format!("barrel-{n}"), &format!("Barrel {n:02}"), 0.04)).collect());
    let in_sight = |trial: &Trial| {
        let link = trial.harness.get_by_role_and_label(Role::Link, "Bring it back").rect();
        trial.harness.ctx.content_rect().contains_rect(link)
    };
    trial.press(Role::Link, "Delete: Barrel 39, water");
    assert!(in_sight(&trial));
    trial.press(Role::Link, "Delete: Barrel 38, water");
    assert!(in_sight(&trial));
    trial.press(Role::Link, "Bring it back");
    assert_eq!(folders(&trial).read_library().entries.len(), 39);
}

#[rstest]
fn a_damaged_file_and_the_very_same_one_are_brought_back_with_care(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = with(look, vec![rain("barrel", "Rain barrel", 0.04)]);
    let folder = folders(&trial).deleted_profiles(OwnKind::Water);
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("cut.ron"), "(version: 1, water: (").expect("a file");
    let path = file(&trial, OwnKind::Water, "Rain barrel");
    std::fs::copy(&path, folder.join("Rain barrel (deleted 2026-03-02 090000Z).ron")).expect("a file");
    trial.press(Role::Tab, "Units");
    trial.press(Role::DisclosureTriangle, "Deleted profiles (2)");
    trial.press(Role::Link, "Bring it back: Rain barrel, water, deleted Mon 2 Mar 2026, 09:00");
    says(&trial, "The very same one is in your library");
    trial.press(Role::Link, "Bring it back: cut, water");
    says(&trial, "The file ends too early");
    assert_eq!(std::fs::read_to_string(file(&trial, OwnKind::Water, "cut")).expect("a file"), "(version: 1, water: (");
}

#[rstest]
fn a_crop_of_the_library_is_chosen_on_today_and_comes_along(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let home = tempfile::tempdir().expect("a folder");
    for profile in [cress("sill-cress", "Sill cress"), cress("other-cress", "Other cress")] {
        Library::take_in(&Folders::below(home.path()), profile, None).expect("a profile");
    }
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    trial.begin();
    assert!(trial.unit().own_crops.is_empty());
    take(&mut trial, "Crop", "Sill cress, yours");
    let unit = trial.unit();
    assert_eq!(unit.crop_id, "sill-cress");
    assert_eq!(unit.own_crops.iter().map(|crop| crop.id.as_str()).collect::<Vec<_>>(), ["sill-cress"]);
    assert_eq!(OwnProfile::Crop(Box::new(unit.own_crops[0].clone())), cress("sill-cress", "Sill cress"));
    assert!(unit.check(&Catalog::shipped().expect("profiles")).is_empty(), "the file can be handed on whole");
    trial.harness.state_mut().ask_for(Command::AddCrop("other-cress".to_owned()));
    trial.settle();
    assert_eq!((trial.unit().also_growing.len(), trial.unit().own_crops.len()), (1, 2));
    assert!(trial.harness.state().outlook().is_some(), "there is a plan with it");
    // The facts of the unit offer them, too.
    trial.harness.state_mut().ask_for(Command::RemoveCrop(0));
    trial.harness.state_mut().ask_for(Command::ChooseCrop("lettuce".to_owned()));
    trial.harness.state_mut().ask_for(Command::EditUnit);
    trial.settle();
    take(&mut trial, "Crop", "Other cress, yours");
    trial.press(Role::Button, "Keep these facts");
    assert_eq!(trial.unit().crop_id, "other-cress");
}

#[test]
fn a_crop_of_the_library_finds_no_room_in_words() {
    let home = tempfile::tempdir().expect("a folder");
    Library::take_in(&Folders::below(home.path()), cress("sill-cress", "Sill cress"), None).expect("a profile");
    let catalog = Catalog::shipped().expect("profiles");
    let mut unit = catalog.examples[1].unit_at(MORNING_S);
    let full = |n: usize| crop_of(cress(&format!("cress-{n}"), &format!("Cress {n}")));
    unit.own_crops = (0..MOST_OWN_CROPS).map(full).collect();
    let path = home.path().join("full.ron");
    UnitFile::create(&path, &unit).expect("a file");
    let mut trial = Trial::open(home, Some(path), Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    let before = trial.unit();
    take(&mut trial, "Crop", "Sill cress, yours");
    says(&trial, "This unit has");
    says(&trial, "remove one first");
    assert_eq!(trial.unit(), before);
}

#[rstest]
fn the_first_page_begins_with_a_water_of_the_library(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let home = tempfile::tempdir().expect("a folder");
    let report = WaterReport { ca_mg_l: Some(30.0), hco3_mg_l: Some(91.5), ..WaterReport::default() };
    let water = SourceWater {
        ec_ms_cm: Some(0.16),
        ph: Some(7.4),
        hardness_mg_caco3_l: Some(75.0),
        report: Some(report),
        ..SourceWater::of_kind(WaterKind::SoftTap)
    };
    let own = OwnWater { id: "tap".to_owned(), name: "Kitchen tap".to_owned(), water, note: None };
    Library::take_in(&Folders::below(home.path()), OwnProfile::Water(Box::new(own)), None).expect("a profile");
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    take(&mut trial, "Kind of water", "Kitchen tap, yours");
    says(&trial, "Your library knows of it: EC 0.16 mS/cm, pH 7.4, hardness 75 mg/L CaCO3, by a report");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    keep_of(&mut trial, &format!("library-start-{}-1280x800", word(look)));
    trial.begin();
    assert_eq!(trial.unit().source_water, water, "all that is known of it");
    // What is typed counts instead, and only that.
    trial.harness.state_mut().ask_for(Command::StartOwn);
    trial.settle();
    take(&mut trial, "Kind of water", "Kitchen tap, yours");
    trial.type_into("pH, if known", "7.9");
    trial.begin();
    assert_eq!(trial.unit().source_water, SourceWater { ph: Some(7.9), ..water });
    // A unit with other water comes to it; what was read of the old one is not said of the new.
    trial.harness.state_mut().ask_for(Command::StartOwn);
    trial.settle();
    trial.choose("Kind of water", "Hard tap water");
    trial.type_into("EC, if known, mS/cm", "0.7");
    trial.begin();
    trial.harness.state_mut().ask_for(Command::EditUnit);
    trial.settle();
    take(&mut trial, "Kind of water", "Kitchen tap, yours");
    trial.press(Role::Button, "Keep these facts");
    assert_eq!(trial.unit().source_water, water);
}

/// For people to look at: `target/pictures/library-*.png`.
#[test]
fn nothing_is_cut_off_at_any_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size, scale) in [
            ("1280x800", Vec2::new(1280.0, 800.0), 1.0),
            ("700x780", Vec2::new(700.0, 780.0), 1.0),
            ("640x400@2", Vec2::new(640.0, 400.0), 2.0),
        ] {
            let home = tempfile::tempdir().expect("a folder");
            let folders = Folders::below(home.path());
            for profile in
                [feed("green", "Green bottle"), cress("sill-cress", "Sill cress"), rain("barrel", "Rain barrel", 0.04)]
            {
                Library::take_in(&folders, profile, None).expect("a profile");
            }
            let gone = Library::take_in(&folders, rain("old", "Old butt", 0.1), None).expect("a profile");
            folders.delete_profile(&gone, MORNING_S).expect("deleted");
            std::fs::write(folders.profiles(OwnKind::Water).join("odd.ron"), "(version: 1, water: (").expect("a file");
            let mut trial = Trial::open(home, None, look, size, scale);
            open_fold(&mut trial);
            trial.press(Role::DisclosureTriangle, "Deleted profiles (1)");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            let keep = |trial: &mut Trial, what: &str| keep_of(trial, &format!("library-{what}-{}-{name}", word(look)));
            keep(&mut trial, "fold");
            for (change, title, what) in [
                ("Change: Green bottle, product", "A product of yours", "product"),
                ("Change: Rain barrel, water", "A water of yours", "water"),
                ("Change: Sill cress, crop", "Change Sill cress", "crop"),
            ] {
                trial.press(Role::Link, change);
                assert_sheet_unclipped(&trial.harness, title);
                keep(&mut trial, what);
                trial.harness.key_press(Key::Escape);
                trial.settle();
            }
        }
    }
}

#[rstest]
fn a_unit_that_is_handed_a_product_of_any_name_can_share_it(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    trial.press(Role::Tab, "Shelf");
    trial.press(Role::Button, "Describe a product");
    trial.type_into("Name of the product", "Роса");
    trial.fill("Total N, %", "4");
    trial.press(Role::Button, "Keep it on the shelf");
    trial.press(Role::Link, "Keep Роса for my other units");
    says(&trial, "“Роса” is in your library");
    trial.harness.state_mut().ask_for(Command::DismissNotice);
    trial.settle();
    let own = folders(&trial).read_library().own();
    assert_eq!(own.products.iter().map(|own| own.name.as_str()).collect::<Vec<_>>(), ["Роса"]);
}
