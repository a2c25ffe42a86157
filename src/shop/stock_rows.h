// Rows of a stock file before their designs are looked up (internal).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/shop/stock.h"

namespace aplomb::shop {

struct DesignRow {
  std::string name, file;
  double fits_length_mm = usual_fits_length_mm, fits_breadth_mm = usual_fits_breadth_mm;
  int line = 0;
};

struct DesignShoe {
  shoe::ShoeParameters parameters;
  double fits_length_mm = 0, fits_breadth_mm = 0;
  std::string file{};
};

struct StockRows {
  std::string shop, hash;
  std::vector<DesignRow> designs;
  std::vector<StockItem> items;
};

/// Whether the file's name ends so, in letters of any case; `ending` is in small ones, with its point.
bool ends_in(const std::filesystem::path& file, std::string_view ending);

io::Result<StockRows> read_stock_toml(const std::filesystem::path& file);
io::Result<StockRows> read_stock_csv(const std::filesystem::path& file);

}  // namespace aplomb::shop
