// PLY: any elements and properties in the head, text or bytes of either order; points and faces are kept.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "reading.h"

namespace aplomb::scan {

namespace {

enum class Type { i8, u8, i16, u16, i32, u32, f32, f64 };

std::optional<Type> type_named(std::string_view name) {
  constexpr std::array<std::array<std::string_view, 2>, 8> names{{{"char", "int8"},
                                                                  {"uchar", "uint8"},
                                                                  {"short", "int16"},
                                                                  {"ushort", "uint16"},
                                                                  {"int", "int32"},
                                                                  {"uint", "uint32"},
                                                                  {"float", "float32"},
                                                                  {"double", "float64"}}};
  for (std::size_t i = 0; i < names.size(); ++i)
    if (name == names[i][0] || name == names[i][1]) return static_cast<Type>(i);
  return std::nullopt;
}

std::size_t size_of(Type type) {
  constexpr std::size_t sizes[] = {1, 1, 2, 2, 4, 4, 4, 8};
  return sizes[static_cast<int>(type)];
}

struct Property {
  std::string name;
  Type type = Type::f32;
  std::optional<Type> count;  // of a list
};

struct Element {
  std::string name;
  std::size_t count = 0;
  std::vector<Property> properties;
};

struct Head {
  enum class Form { text, little, big } form = Form::text;
  std::vector<Element> elements;
  std::size_t bytes = 0;  // of the head
  int lines = 0;
};

io::Result<Head> read_head(const Source& source) {
  constexpr std::size_t most = 1 << 16;
  Head head;
  Lines lines(source.bytes.substr(0, most));
  const auto bad = [&](std::string what) { return source.refuse(std::move(what), export_again, lines.number()); };
  auto line = lines.next();
  if (!line || *line != "ply") return bad("does not begin with the line ply");
  bool form = false;
  while ((line = lines.next())) {
    std::string_view rest = *line;
    const std::string_view what = take_word(rest);
    if (what == "end_header") {
      if (!form) return bad("has no format line");
      head.bytes = std::min(most, source.bytes.size()) - lines.rest().size();
      head.lines = lines.number();
      return head;
    }
    if (what == "format") {
      const std::string_view name = take_word(rest);
      if (name != "ascii" && name != "binary_little_endian" && name != "binary_big_endian")
        return bad(fmt::format("has the format \"{}\"", name.substr(0, 40)));
      head.form = name == "ascii"                  ? Head::Form::text
                  : name == "binary_little_endian" ? Head::Form::little
                                                   : Head::Form::big;
      form = true;
    } else if (what == "element") {
      Element element;
      element.name = take_word(rest);
      const auto count = whole_in(take_word(rest));
      if (!count || *count < 0) return bad("has an element without a count");
      element.count = static_cast<std::size_t>(*count);
      head.elements.push_back(std::move(element));
    } else if (what == "property") {
      if (head.elements.empty()) return bad("has a property before any element");
      Property property;
      std::string_view type = take_word(rest);
      if (type == "list") {
        property.count = type_named(take_word(rest));
        if (!property.count || *property.count >= Type::f32) return bad("has a list without a whole count");
        type = take_word(rest);
      }
      const auto found = type_named(type);
      property.name = take_word(rest);
      if (!found || property.name.empty()) return bad("has a property of no known type");
      property.type = *found;
      head.elements.back().properties.push_back(std::move(property));
    } else if (what != "comment" && what != "obj_info" && !what.empty()) {
      return bad("has a line in its head that is no PLY: a binary file as text, or text in the head");
    }
  }
  return bad("has no end_header in its first 64 KB");
}

/// Values one after the other, from text or bytes.
class Values {
 public:
  Values(std::string_view bytes, Head::Form form) : rest_(bytes), form_(form) {}
  std::optional<double> next(Type type) {
    if (form_ == Head::Form::text) {
      constexpr std::string_view blanks = " \t\r\n";
      const std::size_t begin = rest_.find_first_not_of(blanks);
      if (begin == std::string_view::npos) return std::nullopt;
      const std::size_t end = std::min(rest_.find_first_of(blanks, begin), rest_.size());
      const auto value = number_in(rest_.substr(begin, end - begin));
      rest_.remove_prefix(end);
      return value;
    }
    if (rest_.size() < size_of(type)) return std::nullopt;
    const bool big = form_ == Head::Form::big;
    const double value = [&]() -> double {
      switch (type) {
        case Type::i8:
          return value_at<std::int8_t>(rest_, 0);
        case Type::u8:
          return value_at<std::uint8_t>(rest_, 0);
        case Type::i16:
          return value_at<std::int16_t>(rest_, 0, big);
        case Type::u16:
          return value_at<std::uint16_t>(rest_, 0, big);
        case Type::i32:
          return value_at<std::int32_t>(rest_, 0, big);
        case Type::u32:
          return value_at<std::uint32_t>(rest_, 0, big);
        case Type::f32:
          return value_at<float>(rest_, 0, big);
        default:
          return value_at<double>(rest_, 0, big);
      }
    }();
    rest_.remove_prefix(size_of(type));
    return value;
  }
  std::size_t left() const { return rest_.size(); }

 private:
  std::string_view rest_;
  Head::Form form_;
};

/// The fewest bytes that an element's rows can take.
std::size_t least_bytes(const Element& element, Head::Form form) {
  std::size_t row = 0;
  for (const Property& property : element.properties)
    row += form == Head::Form::text ? 2 : size_of(property.count.value_or(property.type));
  return std::max<std::size_t>(row, 1);
}

}  // namespace

io::Result<RawScan> read_ply(const Source& source) {
  const auto head = read_head(source);
  if (!head) return tl::unexpected(head.error());
  const std::string_view body = source.bytes.substr(head->bytes);
  for (const Element& element : head->elements)
    if (element.count > (body.size() + 1) / least_bytes(element, head->form))
      return source.refuse(
          fmt::format("promises {} of \"{}\" in the {} bytes after its head", element.count, element.name, body.size()),
          "copy the file again: it is cut off or its head is wrong");
  RawScan scan;
  Values values(body, head->form);
  for (const Element& element : head->elements) {
    const bool points = element.name == "vertex", faces = element.name == "face" && scan.points_in_file <= kept_points;
    std::array<int, 3> place{-1, -1, -1};
    for (std::size_t k = 0; k < element.properties.size(); ++k)
      for (int axis = 0; axis < 3; ++axis)
        if (element.properties[k].name == std::string(1, static_cast<char>('x' + axis)) && !element.properties[k].count)
          place[axis] = static_cast<int>(k);
    std::size_t step = 1;
    if (points) {
      if (place[0] < 0 || place[1] < 0 || place[2] < 0)
        return source.refuse("has points without x, y and z", export_again);
      if (const auto error = too_many(source, element.count)) return tl::unexpected(*error);
      scan.points_in_file = element.count;
      step = thinning(element.count);
    }
    for (std::size_t row = 0; row < element.count; ++row) {
      Vec3 p = Vec3::Zero();
      for (std::size_t k = 0; k < element.properties.size(); ++k) {
        const Property& property = element.properties[k];
        const auto first = values.next(property.count.value_or(property.type));
        const auto cut_off = [&] {
          return source.refuse(fmt::format("ends or breaks off at {} {} of {}", element.name, row + 1, element.count),
                               "copy the file again: it is cut off");
        };
        if (!first) return cut_off();
        for (int axis = 0; axis < 3; ++axis)
          if (place[axis] == static_cast<int>(k)) p[axis] = *first;
        if (!property.count) continue;
        if (!(*first >= 0) || *first > static_cast<double>(values.left())) return cut_off();
        const bool corners = faces && (property.name == "vertex_indices" || property.name == "vertex_index");
        std::array<int, 3> fan{};
        for (int i = 0; i < static_cast<int>(*first); ++i) {
          const auto value = values.next(property.type);
          if (!value) return cut_off();
          if (!corners) continue;
          if (!(*value >= 0 && *value < static_cast<double>(scan.points_in_file)))
            return source.refuse(fmt::format("face {} names point {} of {}", row + 1, *value, scan.points_in_file),
                                 export_again);
          fan[std::min(i, 2)] = static_cast<int>(*value);
          if (i < 2 || scan.mesh.faces.size() > most_faces) continue;
          scan.mesh.faces.push_back(fan);
          fan[1] = fan[2];
        }
      }
      if (const auto error = too_many_faces(source, scan.mesh.faces.size())) return tl::unexpected(*error);
      if (points && row % step == 0) scan.mesh.vertices.push_back(p);
    }
  }
  if (scan.points_in_file > kept_points) scan.mesh.faces.clear();
  return scan;
}

}  // namespace aplomb::scan
