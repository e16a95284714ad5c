# Puts the parts of the OpenAPI document together, as the daemon serves it, and as a source file that holds it.
#   cmake -D PARTS=folder -D OUT=folder -P assemble.cmake

# The members of the objects in these files, one list for all.
function(members_of result)
  set(all "")
  foreach(file IN LISTS ARGN)
    file(READ "${file}" text)
    string(REGEX REPLACE "^[ \n]*{" "" text "${text}")
    string(REGEX REPLACE "}[ \n]*$" "" text "${text}")
    if(all)
      string(APPEND all ",")
    endif()
    string(APPEND all "${text}")
  endforeach()
  set(${result} "${all}" PARENT_SCOPE)
endfunction()

file(GLOB path_files "${PARTS}/paths/*.json")
file(GLOB schema_files "${PARTS}/schemas/*.json")
members_of(head "${PARTS}/head.json")
members_of(paths ${path_files})
members_of(components "${PARTS}/components.json")
members_of(schemas ${schema_files})
set(document "{${head},\"paths\":{${paths}},\"components\":{${components},\"schemas\":{${schemas}}}}\n")
string(JSON version ERROR_VARIABLE fault GET "${document}" openapi)
if(fault)
  message(FATAL_ERROR "the parts in ${PARTS} give no JSON: ${fault}")
endif()
file(WRITE "${OUT}/openapi.json" "${document}")
file(WRITE "${OUT}/openapi_document.cpp" "#include \"daemon/api/openapi_document.hpp\"

namespace leeward::daemon {

std::string_view openapi_document() { return R\"openapi(${document})openapi\"; }

}  // namespace leeward::daemon
")
