// CSV: a header line, then one point a line.
//
//   t_s,contact,x,y          log units; the axes come from --range or a companion file
//   t_s,contact,x_mm,y_mm    mm from the top left; the panel's size comes from --panel or a profile
//
// Columns in any order, separated by comma, semicolon or tab, decimal point; other columns are ignored.
// Optional columns: `phase` = down, move, up or cancel (empty counts as move), and `tool` = finger, pen
// or palm. With a phase column a contact lasts from its down to its up or cancel. Without one, rows of
// one number are one contact; a number that has no row for more than 0.25 s has lifted, and later rows
// under it are a new contact. (A moving finger is reported every 25 ms or faster on any panel that can
// pass; 0.25 s is ten times that: common practice, no source.)
#pragma once

#include "capture/log/reader.hpp"

namespace paneproof {

const Format& csv_format();

}  // namespace paneproof
