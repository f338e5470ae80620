#include "tests/clips/scene.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof::clips {

double pick(Dice& dice, double low, double high) {
  return low + (high - low) * (static_cast<double>(dice() >> 11) * 0x1p-53);
}
int pick_int(Dice& dice, int low, int high) { return low + static_cast<int>(dice() % (high - low + 1)); }

namespace {

float mixed(float under, double over, double alpha) {
  return static_cast<float>(under + (over - under) * alpha);
}
double edge(double distance) { return std::clamp(0.5 - distance, 0.0, 1.0); }  // px from the outline

// Signed distance (about px) from a rounded rectangle of half sizes a, b.
double rounded(double x, double y, double a, double b, double r) {
  const double qx = std::abs(x) - a + r, qy = std::abs(y) - b + r;
  return std::hypot(std::max(qx, 0.0), std::max(qy, 0.0)) + std::min(std::max(qx, qy), 0.0) - r;
}

double outline_distance(const Look& look, double x, double y, double a, double b) {
  switch (look.outline) {
    case Outline::round:
      return rounded(x, y, a, b, std::min(a, b));
    case Outline::squircle: {
      const double p = std::pow(std::abs(x) / a, 4) + std::pow(std::abs(y) / b, 4);
      return (std::pow(p, 0.25) - 1) * std::min(a, b);
    }
    default:
      return rounded(x, y, a, b, look.corner * 2 * std::min(a, b));
  }
}

double drawn_luma(const Look& look, double u, double v, double px) {
  double luma = look.base + look.slope_x * u + look.slope_y * v;
  for (const Look::Mark& m : look.marks) {
    const double c = std::cos(m.turn), s = std::sin(m.turn);
    const double x = (u - m.x) * c + (v - m.y) * s, y = (v - m.y) * c - (u - m.x) * s;
    double distance = 0;
    if (m.kind == 0) distance = std::hypot(x, y) - m.size / 2;
    if (m.kind == 1) distance = rounded(x, y, m.size, m.size * 0.3, m.size * 0.1);
    if (m.kind == 2) distance = std::abs(std::hypot(x, y) - m.size / 2) - m.size * 0.12;
    luma += (m.luma - luma) * edge(distance * px);
  }
  return luma;
}

void shade(Canvas& canvas, const Placed& icon) {
  const double a = icon.side * icon.scale / 2, b = a * icon.look->aspect, blur = icon.side * 0.14;
  const double cy = icon.y + icon.side * 0.07;
  const int x0 = std::max(0, static_cast<int>(icon.x - a - 2 * blur));
  const int x1 = std::min(canvas.width, static_cast<int>(icon.x + a + 2 * blur) + 1);
  const int y0 = std::max(0, static_cast<int>(cy - b - 2 * blur));
  const int y1 = std::min(canvas.height, static_cast<int>(cy + b + 2 * blur) + 1);
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x) {
      const double d = rounded(x + 0.5 - icon.x, y + 0.5 - cy, a, b, a * 0.5);
      const double dark = icon.shadow * std::clamp(0.5 - d / (2 * blur), 0.0, 1.0);
      float& luma = canvas.row(y)[x];
      luma = mixed(luma, 0, dark * icon.opacity);
    }
}

void label(Canvas& canvas, const Placed& icon) {
  Dice dice(icon.look->label_seed);
  const double size = icon.side * icon.scale, top = icon.y + size * icon.look->aspect * 0.5 + size * 0.10;
  const int letters = pick_int(dice, 3, 8);
  double x = icon.x - letters * size * 0.05;
  for (int i = 0; i < letters; ++i, x += size * 0.10) {
    const double height = size * pick(dice, 0.09, 0.15);
    draw_bar(canvas, x, top + size * 0.15 - height, size * 0.025, height, 0, icon.look->label_luma,
             icon.label_opacity);
    draw_bar(canvas, x, top + size * pick(dice, 0.0, 0.12), size * 0.07, size * 0.025, 0,
             icon.look->label_luma, icon.label_opacity);
  }
}

}  // namespace

void draw_bar(Canvas& canvas, double x, double y, double width, double height, double radius, double luma,
              double opacity) {
  if (opacity <= 0) return;
  const double cx = x + width / 2, cy = y + height / 2;
  const int x0 = std::max(0, static_cast<int>(x - 1)),
            x1 = std::min(canvas.width, static_cast<int>(x + width) + 2);
  const int y0 = std::max(0, static_cast<int>(y - 1)),
            y1 = std::min(canvas.height, static_cast<int>(y + height) + 2);
  for (int j = y0; j < y1; ++j)
    for (int i = x0; i < x1; ++i) {
      const double alpha = edge(rounded(i + 0.5 - cx, j + 0.5 - cy, width / 2, height / 2, radius));
      float& under = canvas.row(j)[i];
      under = mixed(under, luma, alpha * opacity);
    }
}

Look random_look(Dice& dice, int style) {
  Look look;
  look.label_seed = dice();
  if (style == 0) {
    look.outline = static_cast<Outline>(pick_int(dice, 0, 2));
    look.corner = pick(dice, 0.12, 0.3);
    look.base = pick(dice, 30, 235);
    look.slope_x = pick(dice, -60, 60);
    look.slope_y = pick(dice, -80, 80);
    look.badge = pick(dice, 0, 1) < 0.2;
    for (int i = pick_int(dice, 1, 5); i > 0; --i)
      look.marks.push_back({pick_int(dice, 0, 2), pick(dice, -0.25, 0.25), pick(dice, -0.25, 0.25),
                            pick(dice, 0.1, 0.5), pick(dice, 0, 3),
                            pick(dice, 0, 1) < 0.5 ? pick(dice, 200, 250) : pick(dice, 10, 80)});
  } else {
    look.outline = Outline::card;
    look.aspect = pick(dice, 0.7, 1.2);
    look.corner = pick(dice, 0.02, 0.12);
    look.base = pick(dice, 190, 250);
    look.border = pick(dice, 0, 1) < 0.7 ? 0.02 : 0;
    look.border_luma = pick(dice, 60, 200);
    look.label = false;
    const int rows = pick_int(dice, 1, 4);
    for (int i = 0; i < rows; ++i)
      look.marks.push_back({1, pick(dice, -0.15, 0.1), -0.3 * look.aspect + 0.17 * i, pick(dice, 0.05, 0.28),
                            0, pick(dice, 40, 150)});
    if (pick(dice, 0, 1) < 0.4) look.marks.push_back({0, 0.25, 0.2, 0.25, 0, pick(dice, 20, 140)});
  }
  return look;
}

void draw(Canvas& canvas, const Placed& icon) {
  if (icon.opacity <= 0) return;
  if (icon.shadow > 0) shade(canvas, icon);
  const Look& look = *icon.look;
  const double px = icon.side * icon.scale, a = px / 2, b = a * look.aspect, reach = std::hypot(a, b) + 2;
  const double c = std::cos(icon.turn), s = std::sin(icon.turn);
  const int x0 = std::max(0, static_cast<int>(icon.x - reach)),
            x1 = std::min(canvas.width, static_cast<int>(icon.x + reach) + 1);
  const int y0 = std::max(0, static_cast<int>(icon.y - reach)),
            y1 = std::min(canvas.height, static_cast<int>(icon.y + reach) + 1);
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x) {
      const double dx = x + 0.5 - icon.x, dy = y + 0.5 - icon.y;
      const double u = dx * c + dy * s, v = dy * c - dx * s;
      const double distance = outline_distance(look, u, v, a, b), alpha = edge(distance) * icon.opacity;
      if (alpha <= 0) continue;
      double luma = drawn_luma(look, u / px, v / px, px);
      if (look.border > 0) luma += (look.border_luma - luma) * edge(-distance - look.border * px);
      float& under = canvas.row(y)[x];
      under = mixed(under, luma, alpha);
    }
  if (look.label) label(canvas, icon);
  if (look.badge) {
    const double r = 0.13 * px, bx = icon.x + a * 0.85 - r, by = icon.y - b * 0.85 - r;
    draw_bar(canvas, bx, by, 2 * r, 2 * r, r, 90, icon.opacity);
    draw_bar(canvas, bx + 0.85 * r, by + 0.5 * r, 0.3 * r, r, 0, 250, icon.opacity);
  }
}

void Wallpaper::make(Dice& dice, int which, int width, int height) {
  kind = which;
  base = pick(dice, 40, 215);
  const int count = kind == 0 ? 0 : kind == 1 ? 1 : kind == 2 ? 8 : kind == 3 ? 4 : 60;
  for (int i = 0; i < count; ++i)
    for (const double value :
         {pick(dice, -0.3, 1.3) * width, pick(dice, 0, 1) * height,
          pick(dice, kind == 4 ? 0.02 : 0.15, kind == 4 ? 0.1 : 0.5) * width, pick(dice, -70, 70), 0.0})
      terms.push_back(value);
}

void Wallpaper::draw(Canvas& canvas, double shift_x) const {
  std::fill(canvas.luma.begin(), canvas.luma.end(), static_cast<float>(base));
  for (std::size_t k = 0; k + 4 < terms.size(); k += 5) {
    const double spread = terms[k + 2], reach = kind == 1 ? 1e9 : 2.5 * spread;
    const double cx = terms[k] - shift_x, cy = terms[k + 1];
    const int x0 = std::max(0.0, std::min<double>(canvas.width, cx - reach)),
              x1 = std::min<double>(canvas.width, std::max(0.0, cx + reach));
    const int y0 = std::max(0.0, cy - reach), y1 = std::min<double>(canvas.height, cy + reach);
    std::vector<float> across(std::max(0, x1 - x0));
    for (int x = x0; x < x1; ++x)
      across[x - x0] = static_cast<float>(std::exp(-std::pow((x - cx) / spread, 2)));
    for (int y = y0; y < y1; ++y) {
      const float down =
          static_cast<float>(terms[k + 3] * (kind == 1 ? static_cast<double>(y) / canvas.height
                                                       : std::exp(-std::pow((y - cy) / spread, 2))));
      float* row = canvas.row(y);
      for (int x = x0; x < x1; ++x) row[x] += kind == 1 ? down : down * across[x - x0];
    }
  }
  if (kind == 3)
    for (int y = 0; y < canvas.height; ++y)
      for (int x = 0; x < canvas.width; ++x)
        canvas.row(y)[x] += static_cast<float>(12 * std::sin((x + shift_x) * 0.02 + y * 0.035));
}

void draw_clock(Canvas& canvas, double second, double luma) {
  const double unit = canvas.width * 0.018;
  const auto whole = static_cast<std::uint64_t>(second);
  for (int digit = 0; digit < 4; ++digit) {
    Dice dice(whole / (digit == 3 ? 1 : digit == 2 ? 10 : 1000) * 17 + digit);
    for (int part = 0; part < 6; ++part)
      if (dice() & 1)
        draw_bar(canvas, canvas.width * 0.06 + digit * unit * 1.5 + (part % 2) * unit * 0.6,
                 unit * (0.8 + 0.6 * (part / 2)), unit * 0.5, unit * 0.5, 0, luma, 1);
  }
}

void draw_cursor(Canvas& canvas, Cursor cursor, double x, double y, double size, double opacity) {
  if (cursor == Cursor::dot)
    draw_bar(canvas, x - size / 2, y - size / 2, size, size, size / 2, 235, 0.75 * opacity);
  if (cursor == Cursor::ring) {
    const int r = static_cast<int>(size);
    for (int j = std::max(0, static_cast<int>(y) - r);
         j < std::min(canvas.height, static_cast<int>(y) + r + 1); ++j)
      for (int i = std::max(0, static_cast<int>(x) - r);
           i < std::min(canvas.width, static_cast<int>(x) + r + 1); ++i) {
        const double d = std::abs(std::hypot(i + 0.5 - x, j + 0.5 - y) - size / 2) - size * 0.08;
        canvas.row(j)[i] = mixed(canvas.row(j)[i], 250, edge(d) * opacity);
      }
  }
  if (cursor == Cursor::cross) {
    draw_bar(canvas, 0, y - 1.0, canvas.width, 2, 0, 230, 0.9 * opacity);
    draw_bar(canvas, x - 1.0, 0, 2, canvas.height, 0, 230, 0.9 * opacity);
  }
}

}  // namespace paneproof::clips
