//! What was done and what was learnt: records, lessons, estimates noted.

use super::super::reader::{Kind, Section};
use super::material::formulation;
use super::place::stage;
use super::work::{day, material_id, sprayer_id};
use super::{blocks, target_list};
use crate::domain::season::{
    BlockId, EstimateNoted, Judgement, Lesson, Record, RecordId, RecordedMaterial, RecordsHead,
    ShedEntry, TaskId,
};

pub(super) fn record(s: &Section<'_, '_>) -> Record {
    let id = s.id(Kind::Record);
    let record = Record {
        id: RecordId::from(id.as_str()),
        corrects: s
            .reference(Kind::Record, "corrects")
            .map(|id| RecordId::from(id.as_str())),
        correction: s.text("correction"),
        taken_back: s.flag("taken_back"),
        noted: s.day("noted"),
        task: s
            .reference(Kind::Task, "task")
            .map(|id| TaskId::from(id.as_str())),
        date: day(s, "date"),
        started: s.moment("started"),
        ended: s.moment("ended"),
        who: s.text("who"),
        licence: s.text("licence"),
        supervisor: s.text("supervisor"),
        site: s.text("site"),
        blocks: blocks(s),
        crops: s.texts("crops"),
        area: s.quantity("area"),
        trees: s.whole("trees", 0..=10_000_000),
        bbch: s.bbch("bbch"),
        targets: target_list(s),
        reason: s.text("reason"),
        materials: s
            .sections("materials")
            .into_iter()
            .map(|s| used(&s.into_history()))
            .collect(),
        volume: s.quantity("volume"),
        mixing: s.text("mixing"),
        sprayer: sprayer_id(s),
        setup: s.text("setup"),
        wind: s.quantity("wind"),
        wind_from: s.text("wind_from"),
        temperature: s.quantity("temperature"),
        humidity_percent: s.number("humidity_percent", 0.0..=100.0),
        sky: s.text("sky"),
        rain: s.text("rain"),
        reentry_until: s.moment("reentry_until"),
        reentry_until_dry: s.flag("reentry_until_dry"),
        reentry_ended: s.moment("reentry_ended"),
        reentry_seen_by: s.text("reentry_seen_by"),
        gear: s.texts("gear"),
        notices: s.text("notices"),
        leftover: s.text("leftover"),
        next_check: s.day("next_check"),
        anyway: s.text("anyway"),
        judged: s.sections("judged").iter().map(judgement).collect(),
        temperature_by_hours: s.quantity("temperature_by_hours"),
        notes: s.text("notes"),
        seal: s.text("seal"),
    };
    if let (Some(started), Some(ended)) = (record.started, record.ended)
        && ended < started
    {
        s.complain_at("ended", "before it started", "write a later time");
    }
    s.rest();
    record
}

fn used(s: &Section<'_, '_>) -> RecordedMaterial {
    let material = material_id(s);
    let name = s
        .text("name")
        .unwrap_or_else(|| material.as_str().to_owned());
    let used = RecordedMaterial {
        material,
        active: s.text("active").unwrap_or_else(|| name.to_lowercase()),
        name,
        registration: s.text("registration"),
        formulation: formulation(s),
        active_share: s.quantity("active_share"),
        metallic_copper: s.quantity("metallic_copper"),
        lot: s.text("lot"),
        rate: s.quantity("rate"),
        total: s.quantity("total"),
        by_sheet: s.quantity("by_sheet"),
        copper_kg_per_ha: s.number("copper_kg_per_ha", 0.0..=1000.0),
        cost: s.number("cost", 0.0..=1e9),
    };
    s.rest();
    used
}

fn judgement(s: &Section<'_, '_>) -> Judgement {
    let need = |key, example| s.need(key, s.text(key), String::new(), example);
    let judgement = Judgement {
        level: need("level", "\"stop\""),
        rule: need("rule", "\"too-close-to-swell\""),
        reason: need("reason", "\"buds may swell before\""),
    };
    s.rest();
    judgement
}

pub(super) fn shed(s: &Section<'_, '_>) -> ShedEntry {
    let entry = ShedEntry {
        date: day(s, "date"),
        material: material_id(s),
        received: s.quantity("received"),
        counted: s.quantity("counted"),
        expected: s.quantity("expected"),
        lot: s.text("lot"),
        paid: s.number("paid", 0.0..=1e9),
        note: s.text("note"),
    };
    s.rest();
    entry
}

pub(super) fn head(s: &Section<'_, '_>) -> RecordsHead {
    let head = RecordsHead {
        count: s.need("count", s.whole("count", 0..=u32::MAX), 0, "1"),
        seal: s.need(
            "seal",
            s.text("seal"),
            String::new(),
            "the seal of the last record",
        ),
    };
    s.rest();
    head
}

pub(super) fn lesson(s: &Section<'_, '_>) -> Lesson {
    let lesson = Lesson {
        text: s.need(
            "text",
            s.text("text"),
            String::new(),
            "\"spray the low block first\"",
        ),
        from: s.text("from"),
        done: s.day("done"),
    };
    s.rest();
    lesson
}

pub(super) fn estimate_noted(s: &Section<'_, '_>) -> EstimateNoted {
    let block = s.reference(Kind::Block, "block");
    let noted = EstimateNoted {
        date: day(s, "date"),
        block: BlockId::from(
            s.need("block", block, String::new(), "\"the block's id\"")
                .as_str(),
        ),
        stage: stage(s),
        p10: day(s, "p10"),
        p50: day(s, "p50"),
        p90: day(s, "p90"),
    };
    s.rest();
    noted
}
