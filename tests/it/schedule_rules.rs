//! The rules of a schedule, each judged from the job and the amounts alone; nothing of the planner that makes schedules.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use facelay::catalog::MaterialKind;
use facelay::catalog::Per;
use facelay::crating::Contents;
use facelay::crating::Crating;
use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::exposure::Exposure;
use facelay::job::Job;
use facelay::recipe::Order;
use facelay::recipe::PlaceRole;
use facelay::recipe::Recipe;
use facelay::recipe::Step;
use facelay::recipe::steps::StepKind;
use facelay::rolling::Rolling;
use facelay::schedule::Activity;
use facelay::schedule::Schedule;
use facelay::schedule::Watch;
use facelay::survey::Survey;
use facelay::takeoff::Takeoff;
use facelay::units::Quantity;
use jiff::civil::Date;
use jiff::civil::DateTime;

/// A job with its stages up to the schedule.
pub(crate) struct Planned {
    pub(crate) job: Job,
    pub(crate) survey: Survey,
    pub(crate) takeoff: Takeoff,
    pub(crate) rolling: Rolling,
    pub(crate) crating: Crating,
    pub(crate) exposure: Exposure,
    pub(crate) schedule: Schedule,
    pub(crate) problems: Problems,
}

impl Planned {
    pub(crate) fn of(job: Job, problems: Problems) -> Self {
        let (mut problems, mut ledger) = (problems, Ledger::new());
        let ledger = &mut ledger;
        let survey = facelay::survey::measure(&job, ledger, &mut problems);
        let takeoff = facelay::takeoff::take_off(
            &job,
            &survey,
            &mut facelay::takeoff::KeptCuts::default(),
            ledger,
            &mut problems,
        );
        let rolling = facelay::rolling::roll(&job, &survey, &takeoff, ledger, &mut problems);
        let crating = facelay::crating::pack(&job, &survey, &rolling, ledger, &mut problems);
        let exposure = facelay::exposure::expose(&job, &survey, &takeoff, ledger, &mut problems);
        let schedule = facelay::schedule::arrange(
            &job,
            &survey,
            &takeoff,
            &rolling,
            &crating,
            &exposure,
            &mut Watch {
                by_clock: false,
                heard: &mut |_, _| false,
            },
            ledger,
            &mut problems,
        );
        Self {
            job,
            survey,
            takeoff,
            rolling,
            crating,
            exposure,
            schedule,
            problems,
        }
    }

    fn recipe(&self, panel: usize) -> &Recipe {
        let row = &self.job.panels[self.survey.panels[panel].row];
        self.job.recipe_of(row).unwrap()
    }

    fn step(&self, activity: &Activity) -> &Step {
        &self.job.recipes[&activity.recipe].steps[activity.step]
    }

    /// Minutes that a step dries, and that it cures before the facing may be loaded.
    fn dries(&self, recipe: &str, step: usize) -> (i64, i64) {
        let mut rows = self.exposure.drying.iter();
        let row = rows.find(|row| row.recipe == recipe && row.step == step);
        row.map_or((0, 0), |row| {
            (i64::from(row.dry_minutes), i64::from(row.cures_minutes))
        })
    }

    fn panels_in(&self, packing: usize) -> Vec<usize> {
        match &self.crating.crates[packing].contents {
            Contents::Drums(drums) => drums
                .iter()
                .flat_map(|&drum| self.rolling.drums[drum].panels.iter().map(|on| on.panel))
                .collect(),
            Contents::Flats(flats) => flats.clone(),
        }
    }

    /// The activities of a step for a panel: its own, or those of the crate it is in.
    fn doing(&self, panel: usize, step: usize) -> Vec<&Activity> {
        let kind = self.recipe(panel).steps[step].kind;
        let is_for = |activity: &&Activity| match activity.packing {
            Some(packing) => kind == StepKind::Crate && self.panels_in(packing).contains(&panel),
            None => activity.panel == Some(panel) && activity.step == step,
        };
        self.schedule.activities.iter().filter(is_for).collect()
    }
}

fn minutes(from: DateTime, to: DateTime) -> i64 {
    to.duration_since(from).as_mins()
}

/// Lists every rule that the schedule breaks.
pub(crate) fn faults(planned: &Planned) -> Vec<String> {
    let mut faults = Vec::new();
    let fault = &mut |text: String| faults.push(text);
    for activity in &planned.schedule.activities {
        hours(planned, activity, fault);
        crew(planned, activity, fault);
        arrival(planned, activity, fault);
        for follows in &activity.after {
            let before = &planned.schedule.activities[follows.activity];
            if minutes(before.finish, activity.start) < i64::from(follows.dry_minutes) {
                fault(format!(
                    "{} starts before {} is dry",
                    activity.id, before.id
                ));
            }
        }
    }
    nobody_twice(planned, fault);
    equipment(planned, fault);
    for panel in 0..planned.survey.panels.len() {
        sequence(planned, panel, fault);
    }
    work_done(planned, fault);
    everyone_waits(planned, fault);
    vapour(planned, fault);
    batches(planned, fault);
    sums(planned, fault);
    faults
}

/// Working hours, closed days, same-day steps, steps without a pause.
fn hours(planned: &Planned, activity: &Activity, fault: &mut dyn FnMut(String)) {
    let (id, step) = (&activity.id, planned.step(activity));
    let site = &planned.job.places[activity.place];
    let mut last = activity.start;
    for &(from, to) in &activity.stretches {
        let weekday = usize::try_from(from.weekday().to_monday_zero_offset()).unwrap();
        let midnight = from.date().to_datetime(jiff::civil::Time::midnight());
        let (a, b) = (minutes(midnight, from), minutes(midnight, to));
        let open = site.hours[weekday].iter();
        let mut open = open.map(|&(a, b)| (i64::from(a), i64::from(b)));
        // Hours that run on into one another count as one stretch only if the job joins them.
        if !open.any(|(opens, shuts)| opens <= a && a < b && b <= shuts) {
            fault(format!("{id} works outside the hours: {from} to {to}"));
        }
        if site.closed.contains(&from.date()) {
            fault(format!("{id} works on a closed day: {from}"));
        }
        if from < last {
            fault(format!("{id}: stretches overlap"));
        }
        last = to;
    }
    if let Some((first, end)) = activity.stretches.first().zip(activity.stretches.last()) {
        if first.0 != activity.start || end.1 != activity.finish {
            fault(format!("{id}: start or finish is not that of its work"));
        }
        if step.same_day && first.0.date() != end.1.date() {
            fault(format!("{id} crosses a night"));
        }
        if !step.pausable && activity.stretches.len() > 1 {
            fault(format!("{id} pauses"));
        }
    }
    let roles: BTreeSet<_> = planned.job.places.iter().map(|place| place.role).collect();
    if roles.contains(&step.place) && site.role != step.place {
        fault(format!("{id} is done in the wrong place"));
    }
    let first_day = planned.job.first_day;
    if activity.start.date() < first_day {
        fault(format!("{id} starts before the first day"));
    }
}

/// Number of people, skills, days away, and that they have the time for the work.
fn crew(planned: &Planned, activity: &Activity, fault: &mut dyn FnMut(String)) {
    let (id, step) = (&activity.id, planned.step(activity));
    let people = i64::try_from(activity.people.len()).unwrap();
    let worked: i64 = activity.stretches.iter().map(|&(a, b)| minutes(a, b)).sum();
    let work = i64::from(activity.work_minutes);
    if work > 0 && !(i64::from(step.crew.0)..=i64::from(step.crew.1)).contains(&people) {
        fault(format!("{id}: {people} people"));
    }
    // Nobody idles, but for the steps of five minutes in which time is planned and what the hour's air lets through.
    let needed = (work + people - 1) / people.max(1);
    let needed = needed.max(i64::from(activity.air_minutes)) + i64::from(activity.moving_minutes);
    if work > 0 && !(needed..needed + 5).contains(&worked) {
        fault(format!(
            "{id}: {people} people for {worked} minutes do {work}"
        ));
    }
    for &worker in &activity.people {
        let person = &planned.job.people[planned.schedule.workers[worker].row];
        if !person.skills.contains(&step.skill) {
            fault(format!("{id}: {} has not the skill", person.name));
        }
        for (from, _) in &activity.stretches {
            if person.away.contains(&from.date()) {
                fault(format!("{id}: {} is away on {from}", person.name));
            }
        }
    }
}

/// The day on which a material that is not on the shelf can be there at the soonest, by working days after the order.
fn arrives(planned: &Planned, material: &str) -> Option<Date> {
    let job = &planned.job;
    let offers = job.catalog.offers.iter();
    let offers = offers.filter(|offer| {
        offer.material == material && offer.valid_until.is_none_or(|last| last >= job.order_day)
    });
    let lead = offers.map(|offer| offer.lead_days).min()?;
    let mut day = job.order_day;
    for _ in 0..lead {
        day = day.tomorrow().unwrap();
        while day.weekday().to_monday_zero_offset() > 4 {
            day = day.tomorrow().unwrap();
        }
    }
    Some(day)
}

/// What a step lays, brushes and uses must have lain there for the days in hand.
fn arrival(planned: &Planned, activity: &Activity, fault: &mut dyn FnMut(String)) {
    let step = planned.step(activity);
    let recipe = &planned.job.recipes[&activity.recipe];
    let solution = step.solution.as_ref().and_then(|id| recipe.solution(id));
    let mut materials: Vec<&str> = step.material.iter().map(String::as_str).collect();
    materials.extend(step.uses.iter().map(|used| used.material.as_str()));
    if let Some(solution) = solution {
        materials.extend(solution.resin.iter().map(String::as_str));
        materials.extend(solution.solvents.iter().map(|(id, _)| id.as_str()));
    }
    if step.kind == StepKind::Roll {
        let drums = planned.rolling.drums.iter();
        let mut on = drums.filter(|drum| {
            drum.panels
                .iter()
                .any(|rolled| Some(rolled.panel) == activity.panel)
        });
        materials.extend(on.next().map(|drum| drum.tube.as_str()));
    }
    let job = &planned.job;
    for material in materials.into_iter().filter(|id| !shelved(planned, id)) {
        let Some(mut day) = arrives(planned, material) else {
            continue;
        };
        let site = job
            .places
            .iter()
            .find(|place| place.role == PlaceRole::Site);
        let mut left = job.terms.days_in_hand;
        while let (true, Some(site)) = (left > 0, site) {
            day = day.tomorrow().unwrap();
            let weekday = usize::try_from(day.weekday().to_monday_zero_offset()).unwrap();
            if !site.hours[weekday].is_empty() && !site.closed.contains(&day) {
                left -= 1;
            }
        }
        if activity.start.date() < day {
            fault(format!(
                "{} starts on {}, {material} is ready on {day}",
                activity.id, activity.start
            ));
        }
    }
}

/// Whether the shelf has enough of a material for what areas, edges, drums and crates take of it.
fn shelved(planned: &Planned, material: &str) -> bool {
    let Some(stock) = planned.job.stock.get(material) else {
        return false;
    };
    let needs = planned.takeoff.needs.iter();
    let needs = needs.chain(&planned.rolling.needs);
    let needs = needs.chain(&planned.crating.needs);
    let needs = needs.filter(|need| need.material == material);
    let mut sum: f64 = needs.map(|need| need.amount).sum();
    let is_liquid = planned.job.catalog.materials[material].kind == MaterialKind::Liquid;
    for part in planned
        .takeoff
        .solutions
        .iter()
        .flat_map(|need| &need.parts)
    {
        if part.material == material && is_liquid {
            sum += part.volume.unwrap().to_ml();
        } else if part.material == material {
            sum += part.mass.to_g();
        }
    }
    for cut in &planned.takeoff.cuts {
        sum += f64::from(u8::from(cut.material == material));
    }
    stock.amount >= Quantity::needed(sum, stock.unit).amount
}

fn nobody_twice(planned: &Planned, fault: &mut dyn FnMut(String)) {
    let mut turns: BTreeMap<usize, Vec<(DateTime, DateTime, &str)>> = BTreeMap::new();
    for activity in &planned.schedule.activities {
        for &worker in &activity.people {
            let turn = (activity.start, activity.finish, activity.id.as_str());
            turns.entry(worker).or_default().push(turn);
        }
    }
    for mut turns in turns.into_values() {
        turns.sort_unstable();
        for two in turns.windows(2).filter(|two| two[0].1 > two[1].0) {
            fault(format!("one person does {} and {}", two[0].2, two[1].2));
        }
    }
}

/// Equipment is kept from the start to the finish, nights included.
fn equipment(planned: &Planned, fault: &mut dyn FnMut(String)) {
    for row in &planned.job.equipment {
        let mut changes: Vec<(DateTime, i64)> = Vec::new();
        for activity in &planned.schedule.activities {
            for (_, count) in planned
                .step(activity)
                .equipment
                .iter()
                .filter(|(name, _)| *name == row.name)
            {
                if activity.start < activity.finish {
                    changes.push((activity.start, i64::from(*count)));
                    changes.push((activity.finish, -i64::from(*count)));
                }
            }
        }
        changes.sort_unstable();
        let mut taken = 0;
        for (at, count) in changes {
            taken += count;
            if taken > i64::from(row.count) {
                fault(format!("{taken} of {} at {at}", row.name));
            }
        }
    }
}

/// The steps of a panel in order: drying, curing before loads, moves overnight, longest lags.
fn sequence(planned: &Planned, panel: usize, fault: &mut dyn FnMut(String)) {
    let recipe = planned.recipe(panel);
    let flat = planned.rolling.flats.iter().any(|flat| flat.panel == panel);
    let mut last: Option<(usize, &Activity)> = None;
    let mut facing: Vec<(DateTime, i64)> = Vec::new();
    for (at, step) in recipe.steps.iter().enumerate() {
        let parts = planned.doing(panel, at);
        if flat && step.kind == StepKind::Roll {
            if !parts.is_empty() {
                fault(format!("{panel} is flat and is rolled"));
            }
            continue;
        }
        let (Some(first), Some(end)) = (
            parts.iter().min_by_key(|part| (part.start, &part.id)),
            parts.iter().max_by_key(|part| (part.finish, &part.id)),
        ) else {
            fault(format!("{panel}: step {} is not done", step.id));
            continue;
        };
        if let Some((before, last)) = last {
            let (dries, _) = planned.dries(&recipe.id, before);
            // Things are moved overnight: twelve hours at least (common practice, the program's own assumption).
            let least = dries.max(if last.place == first.place { 0 } else { 720 });
            let waited = minutes(last.finish, first.start);
            if waited < least {
                fault(format!("{} after {waited} of {least} minutes", first.id));
            }
            let warned = planned.problems.iter().any(|problem| {
                problem.text.contains("keeps every rule") && problem.text.contains(&first.id)
            });
            if let Some(most) = step.within_minutes
                && waited > i64::from(most)
                && !warned
            {
                fault(format!(
                    "{} {waited} minutes after, at most {most}",
                    first.id
                ));
            }
        }
        if matches!(
            step.kind,
            StepKind::Release | StepKind::Roll | StepKind::Remount
        ) {
            for (finish, cures) in &facing {
                if minutes(*finish, first.start) < *cures {
                    fault(format!("{} before the facing has cured", first.id));
                }
            }
        }
        if matches!(step.kind, StepKind::Layer | StepKind::Coat) {
            facing.push((end.finish, planned.dries(&recipe.id, at).1));
        }
        last = Some((at, end));
    }
}

/// The minutes of every step: rates by area laid, edge, panel, share of drum and crate, once a job.
fn work_done(planned: &Planned, fault: &mut dyn FnMut(String)) {
    let mut begun = BTreeSet::new();
    for panel in 0..planned.survey.panels.len() {
        let recipe = planned.recipe(panel);
        let (shape, row) = (
            &planned.survey.panels[panel],
            &planned.job.panels[planned.survey.panels[panel].row],
        );
        for (at, step) in recipe.steps.iter().enumerate() {
            let parts = planned.doing(panel, at);
            if parts.is_empty() || parts[0].packing.is_some() {
                continue;
            }
            let layers = planned.takeoff.layers.iter();
            let layers = layers.filter(|layer| layer.panel == panel && layer.step == at);
            let laid: Vec<f64> = layers.map(|layer| layer.laid.to_m2()).collect();
            let area = if laid.is_empty() {
                shape.area.to_m2()
            } else {
                laid.iter().sum()
            };
            let drums = planned.rolling.drums.iter();
            let mut drums = drums.filter(|drum| drum.panels.iter().any(|on| on.panel == panel));
            let mates = drums.next().map_or(1, |drum| drum.panels.len());
            let first = begun.insert((recipe.id.clone(), at));
            let multipliers = planned.job.catalog.multipliers.iter();
            let mut multipliers = multipliers
                .filter(|found| found.paint == row.paint && found.adhesive == row.adhesive);
            let factor = if matches!(step.kind, StepKind::Release | StepKind::Reverse) {
                multipliers.next().map_or(1.0, |found| found.factor)
            } else {
                1.0
            };
            let amount = |per: Per| match per {
                Per::M2 => area,
                Per::MEdge => shape.edge.to_m(),
                Per::Panel | Per::Crate => 1.0,
                Per::Drum => 1.0 / f64::from(u32::try_from(mates).unwrap()),
                Per::Job => f64::from(u8::from(first)),
                Per::PersonHour | Per::PersonDay | Per::Batch => 0.0,
            };
            // A rate measured in a test patch takes the place of the rates by area.
            let measured = row.release_rate.filter(|_| step.kind == StepKind::Release);
            let work = step.work.iter();
            let work = work.filter(|work| measured.is_none() || work.per != Per::M2);
            let wanted = work
                .map(|work| work.minutes * amount(work.per) * factor)
                .sum::<f64>()
                + measured.map_or(0.0, |rate| 60.0 * area / rate);
            let given: f64 = parts.iter().map(|part| f64::from(part.work_minutes)).sum();
            if given < wanted - 1e-3 || given > wanted + 1.0 {
                fault(format!("{}: {given} minutes for {wanted}", parts[0].id));
            }
        }
    }
}

/// A step that waits for all panels starts once the step above is done and dry on every one.
fn everyone_waits(planned: &Planned, fault: &mut dyn FnMut(String)) {
    let panels = 0..planned.survey.panels.len();
    for recipe in planned.job.recipes.values() {
        let mine: Vec<usize> = panels
            .clone()
            .filter(|&panel| planned.recipe(panel).id == recipe.id)
            .collect();
        for (at, step) in recipe.steps.iter().enumerate().skip(1) {
            if step.order != Order::All {
                continue;
            }
            let dries = planned.dries(&recipe.id, at - 1).0;
            let above = mine.iter().flat_map(|&panel| planned.doing(panel, at - 1));
            let Some(done) = above.map(|activity| activity.finish).max() else {
                continue;
            };
            for activity in mine.iter().flat_map(|&panel| planned.doing(panel, at)) {
                if minutes(done, activity.start) < dries {
                    fault(format!("{} does not wait for all panels", activity.id));
                }
            }
        }
    }
}

/// The air of each day at each place takes up the vapour of that day's work, a step's vapour spread evenly over its minutes.
fn vapour(planned: &Planned, fault: &mut dyn FnMut(String)) {
    let mut used: BTreeMap<(usize, Date), f64> = BTreeMap::new();
    let mut rounding: BTreeMap<(usize, Date), f64> = BTreeMap::new();
    for row in &planned.exposure.vapours {
        let air = planned
            .exposure
            .air
            .iter()
            .find(|air| air.place == row.place);
        let Some((air, limit)) = air.and_then(|air| Some((air, air.day_m3?))) else {
            continue;
        };
        let needed = if air.needs_extraction {
            row.fire_air_m3
        } else {
            row.health_air_m3.max(row.fire_air_m3)
        };
        let parts = planned.doing(row.panel, row.step);
        let stretches = || parts.iter().flat_map(|part| &part.stretches);
        // Each section no more than a day's air (a step alone above it is warned of).
        let sections = parts.iter().map(|part| {
            let share = share_of_step(planned, part, parts.len());
            (part, (needed * share).min(limit))
        });
        for (part, share) in sections {
            let whole: i64 = part.stretches.iter().map(|&(a, b)| minutes(a, b)).sum();
            for &(from, to) in &part.stretches {
                let key = (row.place, from.date());
                let portion = minutes(from, to) as f64 / whole as f64;
                *used.entry(key).or_default() += share * portion;
                *rounding.entry(key).or_default() += 2.0;
            }
        }
        assert!(needed == 0.0 || stretches().next().is_some());
    }
    for ((place, day), sum) in used {
        let limit = planned.exposure.air.iter().find(|air| air.place == place);
        let limit = limit.and_then(|air| air.day_m3).unwrap();
        if sum > limit + rounding[&(place, day)] {
            fault(format!("{day}: vapour takes {sum:.0} m³ of {limit:.0}"));
        }
    }
}

/// The share of its step that a section does: that of the sheets it lays, else one of so many equal ones.
fn share_of_step(planned: &Planned, section: &Activity, of: usize) -> f64 {
    let mut layers = planned.takeoff.layers.iter();
    let layer = layers
        .find(|layer| Some(layer.panel) == section.panel && layer.step == section.step)
        .zip(section.sheets.clone());
    let area = |pieces: &[facelay::takeoff::Piece]| -> f64 {
        let sides = pieces.iter().map(|piece| (piece.width, piece.height));
        sides.map(|(width, height)| (width * height).to_m2()).sum()
    };
    match layer {
        Some((layer, sheets)) => area(&layer.pieces[sheets]) / area(&layer.pieces),
        None => 1.0 / f64::from(u32::try_from(of.max(1)).unwrap()),
    }
}

/// Batches add up to the takeoff, fit the pot, and are used up within the pot life and the day.
fn batches(planned: &Planned, fault: &mut dyn FnMut(String)) {
    let mut needed: BTreeMap<(String, String), f64> = BTreeMap::new();
    for need in &planned.takeoff.solutions {
        let recipe = planned.recipe(need.panel);
        let key = (recipe.id.clone(), recipe.steps[need.step].id.clone());
        *needed.entry(key).or_default() += need.mass.to_g();
    }
    for ((recipe, step), grams) in needed {
        let batches = planned.schedule.batches.iter();
        let of_step =
            |batch: &&facelay::schedule::Batch| batch.recipe == recipe && batch.step == step;
        let batches: Vec<_> = batches.filter(of_step).collect();
        let mixed: f64 = batches.iter().map(|batch| batch.mass.to_g()).sum();
        if (mixed - grams).abs() > 0.01 * f64::from(u32::try_from(batches.len() + 1).unwrap()) {
            fault(format!(
                "{recipe} {step}: {mixed} g mixed, {grams} g needed"
            ));
        }
        let known = &planned.job.recipes[&recipe];
        let mut brushed: Vec<(DateTime, DateTime)> = Vec::new();
        for activity in &planned.schedule.activities {
            if activity.recipe == recipe && planned.step(activity).id == step {
                brushed.extend(&activity.stretches);
            }
        }
        brushed.sort_unstable();
        for (at, batch) in batches.iter().enumerate() {
            let solution = known.solution(&batch.solution).unwrap();
            let volume: f64 = batch
                .parts
                .iter()
                .filter_map(|part| part.volume)
                .map(facelay::units::Volume::to_ml)
                .sum();
            if let Some(pot) = solution.largest_batch
                && volume > pot.to_ml() * 1.000_001
            {
                fault(format!("{recipe} {step}: {volume} ml in a pot of {pot:?}"));
            }
            let next = batches.get(at + 1).map(|next| next.mixed);
            // The last minute of brushing before the next batch is there.
            let before_next = brushed
                .iter()
                .filter(|(from, _)| next.is_none_or(|next| *from < next))
                .map(|&(_, to)| next.map_or(to, |next| to.min(next)))
                .max()
                .unwrap_or(batch.mixed);
            let used_for = minutes(batch.mixed, before_next);
            // Batches are timed in whole minutes.
            if let Some(life) = solution.pot_life_minutes
                && used_for > i64::from(life) + 1
            {
                fault(format!(
                    "{recipe} {step}: used for {used_for} of {life} minutes"
                ));
            }
            if before_next > batch.mixed && before_next.date() != batch.day {
                fault(format!(
                    "{recipe} {step}: mixed on {} and used on {before_next}",
                    batch.day
                ));
            }
        }
    }
}

fn sums(planned: &Planned, fault: &mut dyn FnMut(String)) {
    let schedule = &planned.schedule;
    let finish = schedule
        .activities
        .iter()
        .map(|activity| activity.finish)
        .max();
    if schedule.finish != finish {
        fault(format!("finish {:?}, said {:?}", finish, schedule.finish));
    }
    if !schedule
        .activities
        .is_sorted_by_key(|activity| activity.start)
    {
        fault("activities are not by start".into());
    }
    let ids: BTreeSet<_> = schedule
        .activities
        .iter()
        .map(|activity| &activity.id)
        .collect();
    if ids.len() != schedule.activities.len() {
        fault("an activity's name comes twice".into());
    }
    // The wall is clear once the last panel is released, rolled and crated; a recipe without a release counts as a whole.
    let clearing =
        |kind: StepKind| matches!(kind, StepKind::Release | StepKind::Roll | StepKind::Crate);
    let counts = |activity: &&Activity| {
        let steps = &planned.job.recipes[&activity.recipe].steps;
        let released = steps.iter().any(|step| step.kind == StepKind::Release);
        let last = steps.iter().rposition(|step| clearing(step.kind));
        !released || activity.packing.is_some() || last.is_none_or(|last| activity.step <= last)
    };
    let clear = schedule
        .activities
        .iter()
        .filter(counts)
        .map(|activity| activity.finish)
        .max();
    if schedule.wall_clear != clear {
        fault(format!(
            "wall clear {clear:?}, said {:?}",
            schedule.wall_clear
        ));
    }
    if let Some((due, clear)) = planned.job.hand_over.zip(clear) {
        let due = due
            .tomorrow()
            .unwrap()
            .to_datetime(jiff::civil::Time::midnight());
        let late = minutes(due, clear).max(0);
        if schedule.late_minutes != late {
            fault(format!("late by {late}, said {}", schedule.late_minutes));
        }
    }
    if schedule.lower_bound_finish > schedule.finish {
        fault("the bound is later than the finish".into());
    }
}
