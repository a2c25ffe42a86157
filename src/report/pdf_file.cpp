// The same drawing gives the same bytes; see pdf_file.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pdf_file.h"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include "aplomb/io/files.h"

namespace aplomb::report {

io::Result<void> write_pdf(const PdfFile& about, const std::filesystem::path& file,
                           const std::function<void(Canvas&)>& draw) {
  std::string bytes;
  const auto append = [](void* to, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
  };
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, about.width, about.height));
  const std::string creator = fmt::format("aplomb {}", about.version);
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, about.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, creator.c_str());
  // Cairo would write the time of the run, and the same fitting would never give the same file twice.
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, about.date.c_str());
  std::string fault;
  {
    Canvas canvas(surface.get());
    draw(canvas);
    fault = canvas.fault();
  }
  cairo_surface_finish(surface.get());
  if (fault.empty() && cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
    fault = cairo_status_to_string(cairo_surface_status(surface.get()));
  if (!fault.empty())
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = file.string(),
                     .message = fmt::format("the page could not be drawn ({})", fault),
                     .remedy = "please report it with the files given"});
  return io::write_file(file, bytes);
}

}  // namespace aplomb::report
