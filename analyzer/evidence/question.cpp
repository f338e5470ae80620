// The question as JSON and back (judged.hpp).
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/evidence/judged.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::json;

void put(Json& json, const char* name, const std::optional<double>& value) {
  if (value) json[name] = *value;
}

std::optional<double> take(const Json& json, const char* name) {
  return json.contains(name) ? std::optional<double>(json.at(name).get<double>()) : std::nullopt;
}

Json mask_json(const MaskShape& shape) {
  return {{"kind", shape.kind == MaskShape::Kind::circle ? "circle" : "rectangle"},
          {"x_mm", shape.x_mm},
          {"y_mm", shape.y_mm},
          {"width_mm", shape.width_mm},
          {"height_mm", shape.height_mm},
          {"name", shape.name}};
}

MaskShape mask_of(const Json& json) {
  return {json.at("kind") == "circle" ? MaskShape::Kind::circle : MaskShape::Kind::rectangle,
          json.at("x_mm"),
          json.at("y_mm"),
          json.at("width_mm"),
          json.at("height_mm"),
          json.at("name")};
}

Json panel_json(const PanelRequest& panel) {
  Json json = {{"size_origin", panel.size_origin},
               {"rotate_deg", panel.rotate_deg},
               {"rim_mm", panel.rim_mm},
               {"corner_radius_mm", panel.corner_radius_mm},
               {"mask", Json::array()}};
  put(json, "width_mm", panel.width_mm);
  put(json, "height_mm", panel.height_mm);
  put(json, "diagonal_mm", panel.diagonal_mm);
  put(json, "aspect", panel.aspect);
  put(json, "range_x", panel.range_x);
  put(json, "range_y", panel.range_y);
  for (const MaskShape& shape : panel.mask) json["mask"].push_back(mask_json(shape));
  return json;
}

PanelRequest panel_of(const Json& json) {
  PanelRequest panel;
  panel.size_origin = json.at("size_origin");
  panel.rotate_deg = json.at("rotate_deg");
  panel.rim_mm = json.at("rim_mm");
  panel.corner_radius_mm = json.at("corner_radius_mm");
  panel.width_mm = take(json, "width_mm");
  panel.height_mm = take(json, "height_mm");
  panel.diagonal_mm = take(json, "diagonal_mm");
  panel.aspect = take(json, "aspect");
  panel.range_x = take(json, "range_x");
  panel.range_y = take(json, "range_y");
  for (const Json& shape : json.at("mask")) panel.mask.push_back(mask_of(shape));
  if (panel.rotate_deg != 0 && panel.rotate_deg != 90 && panel.rotate_deg != 180 && panel.rotate_deg != 270)
    throw InputError("", "", "expected a rotation of 0, 90, 180 or 270", "");
  return panel;
}

Json axis_json(const Axis& axis) {
  Json json = {{"min", axis.min}, {"max", axis.max}};
  put(json, "units_per_mm", axis.units_per_mm);
  return json;
}

std::optional<Axis> axis_of(const Json& axes, const char* name) {
  if (!axes.contains(name)) return std::nullopt;
  const Axis axis{axes.at(name).at("min"), axes.at(name).at("max"), take(axes.at(name), "units_per_mm")};
  if (!(axis.max > axis.min)) throw InputError("", "", "expected an axis whose end lies past its start", "");
  return axis;
}

Json axes_json(const Axes& axes) {
  Json json = {{"origin", axes.origin}, {"square_units", axes.square_units}, {"in_mm", axes.in_mm}};
  if (axes.x) json["x"] = axis_json(*axes.x);
  if (axes.y) json["y"] = axis_json(*axes.y);
  return json;
}

Axes axes_of(const Json& json) {
  return {axis_of(json, "x"), axis_of(json, "y"), json.at("square_units"), json.at("in_mm"),
          json.at("origin")};
}

Json reference_json(const Reference& r) {
  return {{"left_mm", r.edges.left_mm},     {"right_mm", r.edges.right_mm},     {"top_mm", r.edges.top_mm},
          {"bottom_mm", r.edges.bottom_mm}, {"jitter_rms_mm", r.jitter_rms_mm}, {"rate_hz", r.rate_hz}};
}

Reference reference_of(const Json& json) {
  return {{json.at("left_mm"), json.at("right_mm"), json.at("top_mm"), json.at("bottom_mm")},
          json.at("jitter_rms_mm"),
          json.at("rate_hz")};
}

Condition condition_of(const std::string& typed) {
  for (int c = 0; c <= static_cast<int>(Condition::open); ++c)
    if (typed == word(static_cast<Condition>(c))) return static_cast<Condition>(c);
  throw InputError("", "", "expected a condition that is known", "");
}

}  // namespace

Json question_json(const Question& question) {
  Json json = {{"panel", panel_json(question.panel)},
               {"device", question.device},
               {"conditions", Json::array()},
               {"swept_all", question.swept_all}};
  for (const Condition condition : question.conditions) json["conditions"].push_back(word(condition));
  if (question.axes) json["axes"] = axes_json(*question.axes);
  if (question.reference) json["reference"] = reference_json(*question.reference);
  return json;
}

Question question_of(const Json& json) {
  Question question;
  try {
    question.panel = panel_of(json.at("panel"));
    question.device = json.at("device");
    for (const Json& condition : json.at("conditions"))
      question.conditions.push_back(condition_of(condition));
    question.swept_all = json.at("swept_all");
    if (json.contains("axes")) question.axes = axes_of(json.at("axes"));
    if (json.contains("reference")) question.reference = reference_of(json.at("reference"));
  } catch (const Json::exception&) {
    throw InputError("", "", "expected the options of a check", "");
  }
  if (canonical_json(question_json(question)) != canonical_json(json))
    throw InputError("", "", "expected exactly the options of a check", "");
  return question;
}

}  // namespace paneproof
