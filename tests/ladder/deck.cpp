// Text in, text out: the deck as ccx's manual has it, and the tables of its .dat file.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "deck.h"

#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <sstream>

#include "../temporary_folder.h"

namespace aplomb::ladder {

namespace {

/// Numbers in lines of at most eight, as the format wants them.
std::string rows(const std::vector<int>& numbers) {
  std::string out;
  for (std::size_t i = 0; i < numbers.size(); ++i)
    out += fmt::format("{},{}", numbers[i], i % 8 == 7 || i + 1 == numbers.size() ? "\n" : "");
  return out;
}

}  // namespace

int Deck::add_node(const Vec3& x) {
  nodes_.push_back(x);
  return node_count();
}

int Deck::shared_node(const Vec3& x) {
  const std::array<long, 3> place{std::lround(1e6 * x.x()), std::lround(1e6 * x.y()), std::lround(1e6 * x.z())};
  const auto [at, added] = shared_.try_emplace(place, 0);
  if (added) at->second = add_node(x);
  return at->second;
}

int Deck::add_element(const std::string& type, const std::string& set, const std::vector<int>& nodes) {
  elements_.push_back(nodes);
  const int number = static_cast<int>(elements_.size());
  by_type_and_set_[{type, set}].push_back(number);
  return number;
}

void Deck::add_node_set(const std::string& name, const std::vector<int>& nodes) {
  sets_ += "*NSET,NSET=" + name + "\n" + rows(nodes);
}

void Deck::add_surface(const std::string& name, const std::vector<Face>& faces) {
  sets_ += "*SURFACE,NAME=" + name + ",TYPE=ELEMENT\n";
  for (const Face& face : faces) sets_ += fmt::format("{},S{}\n", face.element, face.number);
}

std::string Deck::text() const {
  std::string out = "*NODE,NSET=ALL\n";
  for (std::size_t i = 0; i < nodes_.size(); ++i)
    out += fmt::format("{},{:.12g},{:.12g},{:.12g}\n", i + 1, nodes_[i].x(), nodes_[i].y(), nodes_[i].z());
  for (const auto& [kind, members] : by_type_and_set_) {
    out += "*ELEMENT,TYPE=" + kind.first + ",ELSET=" + kind.second + "\n";
    for (const int e : members) {
      const std::vector<int>& nodes = element(e);
      out += fmt::format("{},", e);
      for (std::size_t i = 0; i < nodes.size(); ++i)
        out += fmt::format("{}{}", nodes[i], i + 1 == nodes.size() ? "\n" : i == 9 ? ",\n" : ",");
    }
  }
  return out + sets_ + rest_;
}

std::string linear_elastic(const std::string& name, double E_MPa, double nu) {
  return fmt::format("*MATERIAL,NAME={}\n*ELASTIC\n{:.10g},{:.10g}", name, E_MPa, nu);
}

std::string neo_hookean(const std::string& name, double E_MPa, double nu) {
  const double mu = E_MPa / (2 * (1 + nu)), K = E_MPa / (3 * (1 - 2 * nu));
  return fmt::format("*MATERIAL,NAME={}\n*HYPERELASTIC,NEO HOOKE\n{:.10g},{:.10g}", name, mu / 2, 2 / K);
}

std::string contact_pair(const std::string& slave, const std::string& master, double penalty_MPa_per_mm,
                         double friction) {
  std::string out =
      fmt::format("*SURFACE INTERACTION,NAME=I{}\n*SURFACE BEHAVIOR,PRESSURE-OVERCLOSURE=LINEAR\n{:.10g}\n", slave,
                  penalty_MPa_per_mm);
  // The second figure is the stiffness while it sticks.
  if (friction > 0) out += fmt::format("*FRICTION\n{:.10g},{:.10g}\n", friction, penalty_MPa_per_mm / 20);
  return out + fmt::format("*CONTACT PAIR,INTERACTION=I{0},TYPE=SURFACE TO SURFACE\n{0},{1}", slave, master);
}

double pressure_under(const Printed& printed, int element, const std::vector<int>& points, const Vec3& n) {
  const std::vector<geometry::Mat3>& stress = printed.stress_MPa.at(element);
  double sum = 0;
  for (const int point : points) sum -= n.dot(stress.at(static_cast<std::size_t>(point)) * n);
  return sum / static_cast<double>(points.size());
}

bool has_ccx() { return std::system("command -v ccx >/dev/null 2>&1") == 0; }

namespace {

double last_number(const std::string& line) { return std::stod(line.substr(line.find_last_of(' ') + 1)); }

/// The tables of a .dat file: a title, an empty line, rows, an empty line.
void read_tables(const std::string& path, Printed& out) {
  std::ifstream file(path);
  for (std::string title, line; std::getline(file, title);) {
    const auto starts = [&](const char* words) { return title.rfind(words, 0) == 0; };
    const bool force = starts(" total force"), moved = starts(" displacements"), stress = starts(" stresses");
    if (!force && !moved && !stress) continue;
    const double time = last_number(title);
    if (stress) out.stress_MPa.clear();
    std::getline(file, line);
    while (std::getline(file, line) && line.find_first_not_of(' ') != std::string::npos) {
      std::istringstream row(line);
      Vec3 v = Vec3::Zero();
      int number = 0;
      if (force) {
        row >> v.x() >> v.y() >> v.z();
        const auto from = title.find("for set ") + 8;
        out.total_force_N[title.substr(from, title.find(' ', from) - from)][time] = v;
      } else if (moved) {
        row >> number >> v.x() >> v.y() >> v.z();
        out.displacement_mm[number] = v;
      } else {
        int point = 0;
        double xx = 0, yy = 0, zz = 0, xy = 0, xz = 0, yz = 0;
        row >> number >> point >> xx >> yy >> zz >> xy >> xz >> yz;
        geometry::Mat3 sigma;
        sigma << xx, xy, xz, xy, yy, yz, xz, yz, zz;
        out.stress_MPa[number].push_back(sigma);
      }
    }
    out.last_time = time;
  }
}

}  // namespace

Printed run(const Deck& deck, int threads) {
  const scratch::Folder folder;
  std::ofstream(folder.path / "deck.inp") << deck.text();
  const std::string command =
      fmt::format("cd '{}' && OMP_NUM_THREADS={} ccx -i deck >log 2>&1", folder.path.string(), threads);
  Printed out;
  const auto started = std::chrono::steady_clock::now();
  const int code = std::system(command.c_str());
  out.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  std::ifstream log(folder.path / "log");
  for (std::string line; std::getline(log, line);)
    if (line.find("ERROR") != std::string::npos || line.find("did not converge") != std::string::npos)
      out.complaint += line + "\n";
  out.finished = code == 0 && out.complaint.empty();
  read_tables((folder.path / "deck.dat").string(), out);
  return out;
}

}  // namespace aplomb::ladder
