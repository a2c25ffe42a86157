// Reading the shelf: rows first, then their designs, each shoe file read once.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/stock.h"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <optional>

#include "aplomb/io/files.h"
#include "aplomb/io/toml.h"
#include "aplomb/shoe/sizes.h"
#include "stock_rows.h"

namespace aplomb::shop {

namespace {

tl::unexpected<io::Error> refuse(const std::string& file, int line, const char* field, std::string message,
                                 std::string remedy) {
  return io::fail(
      {.file = file, .line = line, .field = field, .message = std::move(message), .remedy = std::move(remedy)});
}

io::Result<void> check_size(const std::string& file, const StockItem& item) {
  if (item.length_mm % shoe::mondopoint_step_mm != 0)
    return refuse(file, item.line, "length_mm",
                  fmt::format("{} mm is no size: sizes go in steps of 5 mm", item.length_mm),
                  fmt::format("write {}", shoe::mondopoint_size(item.length_mm, 1).length_mm));
  // Breadth over length of women's feet is .377 with an SD of .018 (ANSUR II); six SD to either side.
  const double share = static_cast<double>(item.breadth_mm) / item.length_mm;
  if (share < 0.27 || share > 0.49)
    return refuse(file, item.line, "breadth_mm",
                  fmt::format("no foot {} mm long is {} mm broad", item.length_mm, item.breadth_mm),
                  fmt::format("give the breadth of the foot that the shoe is to fit, {:.0f} to {:.0f} mm",
                              std::ceil(0.27 * item.length_mm), std::floor(0.49 * item.length_mm)));
  return {};
}

bool named_as_file(const std::string& design) { return std::filesystem::path(design).extension() == ".toml"; }

/// Shoe files by name, each read once.
class Designs {
 public:
  Designs(const std::string& stock_file, const std::filesystem::path& folder, const std::vector<DesignRow>& declared)
      : stock_file_(stock_file), folder_(folder), declared_(declared) {}

  io::Result<const DesignShoe*> find(const StockItem& item) {
    if (const auto found = read_.find(item.design); found != read_.end()) return &found->second;
    DesignShoe shoe{{}, usual_fits_length_mm, usual_fits_breadth_mm};
    std::filesystem::path file;
    int line = item.line;
    const auto beside = std::filesystem::path(stock_file_).parent_path();
    for (const DesignRow& row : declared_)
      if (row.name == item.design) {
        file = beside / row.file;
        line = row.line;
        shoe.fits_length_mm = row.fits_length_mm, shoe.fits_breadth_mm = row.fits_breadth_mm;
      }
    std::error_code none;
    const std::string name = named_as_file(item.design) ? item.design : item.design + ".toml";
    for (const auto& place : {beside, folder_})
      if (file.empty() && std::filesystem::exists(place / name, none)) file = place / name;
    if (file.empty() || !std::filesystem::exists(file, none))
      return file.empty() ? refuse(stock_file_, line, "design", fmt::format("\"{}\" is not found", item.design),
                                   fmt::format("put {} beside the stock file", name))
                          : refuse(stock_file_, line, "file", fmt::format("\"{}\" is not there", file.string()),
                                   fmt::format("correct the file that design \"{}\" names", item.design));
    auto parameters = shoe::read_shoe(file);
    if (!parameters) return tl::unexpected(parameters.error());
    shoe.parameters = std::move(*parameters);
    shoe.file = file.string();
    return &read_.emplace(item.design, std::move(shoe)).first->second;
  }

 private:
  std::string stock_file_;
  std::filesystem::path folder_;
  const std::vector<DesignRow>& declared_;
  std::map<std::string, DesignShoe> read_;
};

io::Result<void> make_shoe(const std::string& file, const DesignShoe& design, StockItem& item) {
  const auto& base = design.parameters;
  auto graded = shoe::grade(base, base.inner_length_mm * item.length_mm / design.fits_length_mm,
                            base.ball_breadth_mm * item.breadth_mm / design.fits_breadth_mm);
  if (!graded)
    return refuse(file, item.line, "breadth_mm",
                  fmt::format("\"{}\" cannot be made in {}/{}: {}: {}", item.design, item.length_mm, item.breadth_mm,
                              graded.error().field, graded.error().message),
                  "check length and breadth of this row");
  item.shoe = std::move(*graded);
  item.shoe.name = item.label;
  item.file = design.file;
  if (item.shank_mm > 0) {
    item.shoe.shank_EI_Nm2 = shoe::shank_EI_Nm2(item.shank_mm);
    item.shoe.shank_EI_table.clear();
  }
  return {};
}

}  // namespace

io::Result<Stock> read_stock(const std::filesystem::path& file, const std::filesystem::path& designs_folder) {
  if (!ends_in(file, ".csv") && !ends_in(file, ".toml"))
    return io::fail({.file = file.string(),
                     .field = "--stock",
                     .message = "is neither .toml nor .csv",
                     .remedy = "name a stock file of one of the two"});
  const auto rows = ends_in(file, ".csv") ? read_stock_csv(file) : read_stock_toml(file);
  if (!rows) return tl::unexpected(rows.error());
  Stock stock{rows->shop, rows->items, file.string(), rows->hash};
  if (stock.items.empty()) return refuse(stock.file, 1, "item", "there is nothing on the shelf", "add rows");
  std::map<std::string, int> seen;
  Designs designs(stock.file, designs_folder, rows->designs);
  for (StockItem& item : stock.items) {
    if (const auto [at, fresh] = seen.emplace(item.label, item.line); !fresh)
      return refuse(stock.file, item.line, "label", fmt::format("\"{}\" is already on line {}", item.label, at->second),
                    "give each row a label of its own, or add up the pairs");
    if (const auto good = check_size(stock.file, item); !good) return tl::unexpected(good.error());
    const auto design = designs.find(item);
    if (!design) return tl::unexpected(design.error());
    if (const auto made = make_shoe(stock.file, **design, item); !made) return tl::unexpected(made.error());
  }
  return stock;
}

}  // namespace aplomb::shop
