#include "analyzer/measure/aim.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {

Aim aim_of(const std::vector<AimTouch>& touches) {
  Aim aim;
  if (touches.size() < 2) return aim;
  Point mark, touch;
  const double n = static_cast<double>(touches.size());
  for (const AimTouch& t : touches) {
    mark.x_mm += t.mark.x_mm / n, mark.y_mm += t.mark.y_mm / n;
    touch.x_mm += t.touch.x_mm / n, touch.y_mm += t.touch.y_mm / n;
    aim.largest_miss_mm =
        std::max(aim.largest_miss_mm, std::hypot(t.touch.x_mm - t.mark.x_mm, t.touch.y_mm - t.mark.y_mm));
  }
  double xx = 0, yy = 0, x_by_x = 0, y_by_y = 0, x_by_y = 0, y_by_x = 0;
  for (const AimTouch& t : touches) {
    const double mx = t.mark.x_mm - mark.x_mm, my = t.mark.y_mm - mark.y_mm, tx = t.touch.x_mm - touch.x_mm,
                 ty = t.touch.y_mm - touch.y_mm;
    xx += mx * mx, yy += my * my, x_by_x += tx * mx, x_by_y += tx * my, y_by_y += ty * my, y_by_x += ty * mx;
  }
  if (xx <= 0 || yy <= 0) return aim;
  aim.offset_x_mm = touch.x_mm - mark.x_mm;
  aim.offset_y_mm = touch.y_mm - mark.y_mm;
  aim.scale_x = x_by_x / xx;
  aim.scale_y = y_by_y / yy;
  aim.swapped =
      std::abs(x_by_y / yy) > std::abs(aim.scale_x) && std::abs(y_by_x / xx) > std::abs(aim.scale_y);
  aim.mirrored_x = !aim.swapped && aim.scale_x < 0;
  aim.mirrored_y = !aim.swapped && aim.scale_y < 0;
  return aim;
}

}  // namespace paneproof
