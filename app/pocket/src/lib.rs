//! The pocket workbook.
