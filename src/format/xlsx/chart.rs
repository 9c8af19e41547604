//! Line charts over a table, told apart without colour: solid, dashed, dotted, each with its own mark.

use rust_xlsxwriter::Chart as Drawing;
use rust_xlsxwriter::ChartFormat;
use rust_xlsxwriter::ChartLine;
use rust_xlsxwriter::ChartLineDashType;
use rust_xlsxwriter::ChartMarker;
use rust_xlsxwriter::ChartMarkerType;
use rust_xlsxwriter::ChartType;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Chart;

use super::Row;
use super::places::Places;

/// Rows that a chart covers.
pub(super) const ROWS: usize = 20;

const DASHES: [ChartLineDashType; 4] = [
    ChartLineDashType::Solid,
    ChartLineDashType::Dash,
    ChartLineDashType::RoundDot,
    ChartLineDashType::LongDashDot,
];

const MARKS: [ChartMarkerType; 4] = [
    ChartMarkerType::Circle,
    ChartMarkerType::Square,
    ChartMarkerType::Triangle,
    ChartMarkerType::X,
];

/// Draws the lines of a chart below each other's names; a table without rows gives no chart.
pub(super) fn write(
    worksheet: &mut Worksheet,
    row: Row,
    chart: &Chart,
    places: &Places<'_>,
) -> Result<(), XlsxError> {
    let Some((sheet, first, last, along)) = places.column(&chart.table, &chart.along) else {
        return Ok(());
    };
    let mut drawing = Drawing::new(ChartType::Line);
    for (at, heading) in chart.lines.iter().enumerate() {
        let Some((_, _, _, col)) = places.column(&chart.table, heading) else {
            continue;
        };
        let dash = DASHES.get(at % DASHES.len()).copied().unwrap_or(ChartLineDashType::Solid);
        let mark = MARKS.get(at % MARKS.len()).copied().unwrap_or(ChartMarkerType::Circle);
        let line = ChartLine::new().set_color("#000000").set_width(1.5).set_dash_type(dash).clone();
        drawing
            .add_series()
            .set_name(heading)
            .set_categories((sheet, first, along, last, along))
            .set_values((sheet, first, col, last, col))
            .set_format(ChartFormat::new().set_line(&line))
            .set_marker(ChartMarker::new().set_type(mark).set_size(4));
    }
    drawing.title().set_name(&chart.title);
    drawing.x_axis().set_name(&chart.along);
    drawing.y_axis().set_name(&chart.unit).set_min(0.0);
    drawing.legend().set_position(rust_xlsxwriter::ChartLegendPosition::Bottom);
    drawing.set_width(900).set_height(380);
    worksheet.insert_chart(row, 0, &drawing)?;
    Ok(())
}
