//! Native charts in black and grey, told apart by their lines when printed.

use rust_xlsxwriter::Chart as Native;
use rust_xlsxwriter::ChartFormat;
use rust_xlsxwriter::ChartLegendPosition;
use rust_xlsxwriter::ChartLine;
use rust_xlsxwriter::ChartLineDashType;
use rust_xlsxwriter::ChartSolidFill;
use rust_xlsxwriter::ChartType;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Chart;
use crate::report::ChartKind;

use super::Row;
use super::places::CHART_ROWS;
use super::places::Places;

/// Width of a chart in pixels, about that of a page's text.
const WIDTH: u32 = 640;
/// Height of a row in pixels.
const ROW: u32 = 20;

/// Lines in the order of the series: colour, width in points, dashes.
const LINES: [(&str, f64, ChartLineDashType); 4] = [
    ("#000000", 2.25, ChartLineDashType::Solid),
    ("#606060", 1.75, ChartLineDashType::Dash),
    ("#404040", 1.25, ChartLineDashType::RoundDot),
    ("#909090", 2.25, ChartLineDashType::Solid),
];

/// Writes a chart; one of a table without rows is left out.
pub(super) fn write_chart(
    worksheet: &mut Worksheet,
    row: Row,
    chart: &Chart,
    places: &Places<'_>,
) -> Result<(), XlsxError> {
    let Some(along) = places.range(&chart.table, &chart.along.0) else {
        return Ok(());
    };
    let mut native = Native::new(match chart.kind {
        ChartKind::Columns => ChartType::Column,
        ChartKind::Lines => ChartType::ScatterStraight,
    });
    native.title().set_name(&chart.title);
    native.x_axis().set_name(&chart.along.1);
    native.y_axis().set_name(&chart.side);
    for (heading, (colour, width, dashes)) in chart.series.iter().zip(LINES.iter().cycle()) {
        let Some(values) = places.range(&chart.table, heading) else {
            continue;
        };
        let mut format = ChartFormat::new();
        match chart.kind {
            ChartKind::Columns => {
                format.set_solid_fill(ChartSolidFill::new().set_color(*colour));
            }
            ChartKind::Lines => {
                format.set_line(
                    ChartLine::new()
                        .set_color(*colour)
                        .set_width(*width)
                        .set_dash_type(*dashes),
                );
            }
        }
        native
            .add_series()
            .set_categories(along.as_str())
            .set_values(values.as_str())
            .set_name(heading)
            .set_format(&mut format);
    }
    if chart.series.len() < 2 {
        native.legend().set_hidden();
    } else {
        native.legend().set_position(ChartLegendPosition::Bottom);
    }
    let rows = u32::try_from(CHART_ROWS).unwrap_or(1);
    native.set_width(WIDTH).set_height(rows * ROW);
    worksheet.insert_chart(row, 0, &native)?;
    Ok(())
}
