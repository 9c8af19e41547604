//! Suppliers' days from Monday to Friday, and the site's own working days.

use jiff::Span;
use jiff::civil::Date;
use jiff::civil::Weekday;

use crate::catalog::LeadDays;
use crate::catalog::Offer;
use crate::job::Site;

/// No place stays closed longer than this; a search for a working day ends here.
const LONGEST_CLOSURE: u32 = 1_000;

/// No delivery and no stay in store is counted longer than this.
const LONGEST_WAIT: u32 = 10_000;

/// The last day on which an offer can be ordered to arrive by a day.
pub(super) fn latest_order(offer: &Offer, by: Date) -> Date {
    match offer.lead {
        LeadDays::Working => latest_sending(by, offer.lead_days),
        LeadDays::Calendar => {
            let by = step_to(by, is_weekday, yesterday);
            step_to(
                shifted(by, -i64::from(offer.lead_days)),
                is_weekday,
                yesterday,
            )
        }
    }
}

/// So many days of the calendar later, or earlier.
pub(super) fn shifted(day: Date, days: i64) -> Date {
    day.checked_add(Span::new().days(days.clamp(-100_000, 100_000)))
        .unwrap_or(day)
}

/// The Monday of a day's week.
pub(super) fn monday(day: Date) -> Date {
    shifted(day, -i64::from(day.weekday().to_monday_zero_offset()))
}

/// The day on which something sent off arrives: so many days from Monday to Friday later, never on a weekend.
pub(super) fn arrival(sent: Date, lead_days: u32) -> Date {
    let sent = step_to(sent, is_weekday, tomorrow);
    (0..lead_days.min(LONGEST_WAIT))
        .fold(sent, |day, _| step_to(tomorrow(day), is_weekday, tomorrow))
}

/// The last day on which something can be sent off to arrive by a day.
pub(super) fn latest_sending(by: Date, lead_days: u32) -> Date {
    let by = step_to(by, is_weekday, yesterday);
    (0..lead_days.min(LONGEST_WAIT))
        .fold(by, |day, _| step_to(yesterday(day), is_weekday, yesterday))
}

/// The day by which something must lie ready: so many working days of the place before it is used.
pub(super) fn ready_by(place: Option<&Site>, used: Date, days_in_hand: u32) -> Date {
    let works = |day: Date| {
        place
            .filter(|place| has_hours(place))
            .map_or_else(|| is_weekday(day), |place| is_open(place, day))
    };
    (0..days_in_hand.min(LONGEST_WAIT))
        .fold(used, |day, _| step_to(yesterday(day), works, yesterday))
}

/// The day itself or the last day before it on which suppliers deliver.
pub(super) fn delivery_day(day: Date) -> Date {
    step_to(day, is_weekday, yesterday)
}

fn step_to(mut day: Date, good: impl Fn(Date) -> bool, next: fn(Date) -> Date) -> Date {
    for _ in 0..LONGEST_CLOSURE {
        if good(day) {
            break;
        }
        day = next(day);
    }
    day
}

fn is_weekday(day: Date) -> bool {
    !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday)
}

fn has_hours(place: &Site) -> bool {
    place.hours.iter().any(|hours| !hours.is_empty())
}

fn is_open(place: &Site, day: Date) -> bool {
    let weekday = usize::try_from(day.weekday().to_monday_zero_offset()).unwrap_or(0);
    place
        .hours
        .get(weekday)
        .is_some_and(|hours| !hours.is_empty())
        && !place.closed.contains(&day)
}

/// The next day; the last day of the calendar stays.
fn tomorrow(day: Date) -> Date {
    day.tomorrow().unwrap_or(day)
}

/// The day before; the first day of the calendar stays.
fn yesterday(day: Date) -> Date {
    day.yesterday().unwrap_or(day)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    /// 2026-11-20 is a Friday.
    #[test]
    fn deliveries_take_working_days() {
        assert_eq!(arrival(date(2026, 11, 20), 0), date(2026, 11, 20));
        assert_eq!(arrival(date(2026, 11, 20), 1), date(2026, 11, 23));
        assert_eq!(
            arrival(date(2026, 11, 21), 0),
            date(2026, 11, 23),
            "nothing moves on a Saturday"
        );
        assert_eq!(arrival(date(2026, 11, 20), 10), date(2026, 12, 4));
        assert_eq!(latest_sending(date(2026, 12, 4), 10), date(2026, 11, 20));
        assert_eq!(
            latest_sending(date(2026, 12, 6), 0),
            date(2026, 12, 4),
            "by Sunday means by Friday"
        );
    }

    fn offer(lead_days: u32) -> Offer {
        Offer {
            material: String::new(),
            supplier: String::new(),
            pack: 1.into(),
            prices: Vec::new(),
            breaks: crate::catalog::Breaks::All,
            least_packs: 1,
            lead_days,
            lead: LeadDays::Calendar,
            delivery: crate::catalog::Delivery::Standard,
            valid_from: None,
            valid_until: None,
            tax: None,
        }
    }

    /// 2026-11-20 is a Friday: eight days of the calendar later is a Saturday.
    #[test]
    fn calendar_days_count_weekends_but_nothing_arrives_on_them() {
        assert_eq!(offer(7).arrival(date(2026, 11, 20)), date(2026, 11, 27));
        assert_eq!(offer(8).arrival(date(2026, 11, 20)), date(2026, 11, 30));
        assert_eq!(
            latest_order(&offer(7), date(2026, 11, 27)),
            date(2026, 11, 20)
        );
        assert_eq!(monday(date(2026, 11, 22)), date(2026, 11, 16));
        for day in 0..20 {
            for lead in 0..12 {
                let by = shifted(date(2026, 3, 1), day);
                let sent = latest_order(&offer(lead), by);
                assert!(offer(lead).arrival(sent) <= by, "{by} {lead}");
            }
        }
    }

    #[test]
    fn sending_on_the_latest_day_is_just_in_time() {
        for offset in 0..40_i8 {
            for lead in 0..12 {
                let by = date(2026, 3, 1)
                    .checked_add(Span::new().days(offset))
                    .unwrap();
                let sent = latest_sending(by, lead);
                assert!(arrival(sent, lead) <= by);
                assert!(arrival(tomorrow(sent), lead) > by || !is_weekday(tomorrow(sent)));
            }
        }
    }
}
