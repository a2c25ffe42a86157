// An input deck for CalculiX (ccx), its run, and what it printed. Element, face and node numbers as in its manual,
// from 1. mm, N, MPa.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <functional>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::ladder {

using geometry::Vec3;

struct Face {
  int element = 0, number = 0;
};

class Deck {
 public:
  int add_node(const Vec3& x);
  int shared_node(const Vec3& x);  ///< the one added there before, or a new one
  int add_element(const std::string& type, const std::string& set, const std::vector<int>& nodes);
  void add_node_set(const std::string& name, const std::vector<int>& nodes);
  /// Of element faces: the kind that surface-to-surface contact wants.
  void add_surface(const std::string& name, const std::vector<Face>& faces);
  void add(const std::string& lines) { rest_ += lines + "\n"; }
  const Vec3& node(int number) const { return nodes_[static_cast<std::size_t>(number - 1)]; }
  const std::vector<int>& element(int number) const { return elements_[static_cast<std::size_t>(number - 1)]; }
  int node_count() const { return static_cast<int>(nodes_.size()); }
  std::string text() const;

 private:
  std::vector<Vec3> nodes_;
  std::map<std::array<long, 3>, int> shared_;
  std::vector<std::vector<int>> elements_;
  std::map<std::pair<std::string, std::string>, std::vector<int>> by_type_and_set_;
  std::string sets_, rest_;
};

/// A block of 8-node quadrilaterals, nx by ny, corners of the map's unit square counterclockwise.
struct Quads {
  int nx = 0, ny = 0;
  std::vector<int> nodes;     ///< (2 nx + 1) x (2 ny + 1), row by row; 0 in the middle of an element
  std::vector<int> elements;  ///< nx x ny, row by row
  int node(int i, int j) const { return nodes[static_cast<std::size_t>(j * (2 * nx + 1) + i)]; }
  std::vector<int> bottom() const, top() const, left() const, right() const, all() const;  ///< nodes
  std::vector<Face> bottom_faces() const, right_faces() const, top_faces() const;
};
Quads add_quads(Deck& deck, const std::string& type, const std::string& set, int nx, int ny,
                const std::function<Vec3(double u, double v)>& map, bool share_nodes = false);

/// A block of 20-node bricks, nx by ny by nz; the map turns (u, v, w) into a right-handed body.
struct Bricks {
  int nx = 0, ny = 0, nz = 0;
  std::vector<int> nodes, elements;  ///< as in Quads, layer by layer
  int node(int i, int j, int k) const {
    return nodes[static_cast<std::size_t>((k * (2 * ny + 1) + j) * (2 * nx + 1) + i)];
  }
  int element(int i, int j, int k) const { return elements[static_cast<std::size_t>((k * ny + j) * nx + i)]; }
  std::vector<int> where(
      const std::function<bool(int i, int j, int k)>& at) const;  ///< nodes; indices in half elements
};
Bricks add_bricks(Deck& deck, const std::string& type, const std::string& set, int nx, int ny, int nz,
                  const std::function<Vec3(double u, double v, double w)>& map);

/// Isotropic solids. Neo-Hookean as ccx has it: mu/2 (I1bar - 3) + K/2 (J - 1)^2, mu and K of E and nu.
std::string linear_elastic(const std::string& name, double E_MPa, double nu);
std::string neo_hookean(const std::string& name, double E_MPa, double nu);
/// Frictionless or Coulomb contact by penalty, surface to surface.
std::string contact_pair(const std::string& slave, const std::string& master, double penalty_MPa_per_mm,
                         double friction = 0);

/// What one run printed (*NODE PRINT, *EL PRINT), by time of the step.
struct Printed {
  bool finished = false;
  std::string complaint;  ///< what ccx said when it did not finish
  double seconds = 0;
  double last_time = 0;
  std::map<std::string, std::map<double, Vec3>> total_force_N;  ///< by node set; of a whole ring or of what was meshed
  std::map<int, Vec3> displacement_mm;                          ///< by node, last time
  std::map<int, std::vector<geometry::Mat3>> stress_MPa;        ///< by element and integration point, last time
};

/// Pressure just under a face of normal n, mean over its integration points (from 0). Single points of contact jump
/// about by half (penalty on faces of second order); the stress beside them is what they amount to.
double pressure_under(const Printed& printed, int element, const std::vector<int>& points, const Vec3& n);

bool has_ccx();
/// In a folder of its own that goes away; on `threads` threads.
Printed run(const Deck& deck, int threads = 1);

}  // namespace aplomb::ladder
