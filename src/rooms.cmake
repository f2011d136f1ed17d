# The rooms of the house, lowest first. A room may use itself and the rooms above it in this
# list that have a lower rank; tests/house/ checks that from the includes.
#
#   room(NAME RANK OUTSIDE_LIBRARY...)
set(ROOMS "")

function(room name rank)
  file(GLOB sources CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/${name}/*.c)
  if(NOT sources)
    return()
  endif()
  add_library(${name} STATIC ${sources})
  target_include_directories(${name} PUBLIC ${PROJECT_SOURCE_DIR}/src)
  target_link_libraries(${name} PRIVATE ${ARGN})
  foreach(lower ${ROOMS})
    get_target_property(lower_rank ${lower} RANK)
    if(lower_rank LESS rank)
      target_link_libraries(${name} PUBLIC ${lower})
    endif()
  endforeach()
  set_target_properties(${name} PROPERTIES RANK ${rank})
  set(ROOMS ${ROOMS} ${name} PARENT_SCOPE)
endfunction()

# Build tools: text files become C arrays.
add_executable(embed_sql src/embed/embed_sql.c)
add_executable(embed_file src/embed/embed_file.c)

room(base 0 PkgConfig::CRYPTO PkgConfig::YAML PkgConfig::ZIP PkgConfig::EXPAT PkgConfig::JANSSON
            PkgConfig::GMP Threads::Threads m)
room(measure 1 PkgConfig::UDUNITS m)
room(ledger 1)
room(stat 2 m)
room(plan 2)
room(quantity 3 m)
room(trust 3 m)
room(judge 3)
room(derive 4 m)
room(ingest 5)
room(message 5 PkgConfig::CURL)
room(farmfile 6)

# sql/**/*.sql -> sql_catalog.h and sql_catalog.c, which db/ owns.
file(GLOB_RECURSE SQL_FILES CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/sql/*.sql)
set(SQL_CATALOG_DIR ${CMAKE_BINARY_DIR}/generated)
add_custom_command(
  OUTPUT ${SQL_CATALOG_DIR}/db/sql_catalog.h ${SQL_CATALOG_DIR}/db/sql_catalog.c
  COMMAND ${CMAKE_COMMAND} -E make_directory ${SQL_CATALOG_DIR}/db
  COMMAND embed_sql ${PROJECT_SOURCE_DIR}/sql ${SQL_CATALOG_DIR}/db/sql_catalog.h
          ${SQL_CATALOG_DIR}/db/sql_catalog.c
  DEPENDS embed_sql ${SQL_FILES})
add_custom_target(sql_catalog DEPENDS ${SQL_CATALOG_DIR}/db/sql_catalog.h)

room(db 6 PkgConfig::PQ)
if(TARGET db)
  target_sources(db PRIVATE ${SQL_CATALOG_DIR}/db/sql_catalog.c)
  target_include_directories(db PUBLIC ${SQL_CATALOG_DIR})
  add_dependencies(db sql_catalog)
endif()
room(cluster 7)
room(store 8)

# reports/**/* -> report_files.c, which report/ owns.
file(GLOB_RECURSE REPORT_FILES CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/reports/*.yaml)
room(report 9 PkgConfig::XLSXWRITER m)
if(TARGET report AND REPORT_FILES)
  add_custom_command(
    OUTPUT ${CMAKE_BINARY_DIR}/generated/report_files.c
    COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_BINARY_DIR}/generated
    COMMAND embed_file report_files ${PROJECT_SOURCE_DIR}/reports
            ${CMAKE_BINARY_DIR}/generated/report_files.c ${REPORT_FILES}
    DEPENDS embed_file ${REPORT_FILES})
  target_sources(report PRIVATE ${CMAKE_BINARY_DIR}/generated/report_files.c)
endif()
room(app 10)

# src/weirbook.service -> unit_files.c, which serve/ owns.
room(serve 11)
add_custom_command(
  OUTPUT ${CMAKE_BINARY_DIR}/generated/unit_files.c
  COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_BINARY_DIR}/generated
  COMMAND embed_file unit_files ${PROJECT_SOURCE_DIR}/src
          ${CMAKE_BINARY_DIR}/generated/unit_files.c ${PROJECT_SOURCE_DIR}/src/weirbook.service
  DEPENDS embed_file ${PROJECT_SOURCE_DIR}/src/weirbook.service)
target_sources(serve PRIVATE ${CMAKE_BINARY_DIR}/generated/unit_files.c)
room(cli 12)

if(EXISTS ${PROJECT_SOURCE_DIR}/src/main.c AND TARGET cli)
  add_executable(weirbook src/main.c)
  target_link_libraries(weirbook PRIVATE cli)
  install(TARGETS weirbook)
  install(FILES ${PROJECT_SOURCE_DIR}/src/weirbook.service DESTINATION lib/systemd/system)
endif()
