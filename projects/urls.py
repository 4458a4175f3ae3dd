"""Addresses of the projects room, all below `/s/<shop>/`."""

from django.urls import path

from projects.views import bench, block, clocks, cups, failures, log, now, projects, sheets, shelf_list

app_name = "projects"
inside = "projects/<uuid:project>"
urlpatterns = [
    path("now/", now.now, name="now"),
    path("clocks/", clocks.clocks, name="clocks"),
    path("clocks/<uuid:key>/", clocks.settle, name="clock-settle"),
    path("projects/", projects.project_list, name="project-list"),
    path("projects/new/", projects.project_new, name="project-new"),
    path(f"{inside}/", projects.project, name="project"),
    path(f"{inside}/block/", block.block, name="block"),
    path(f"{inside}/steps/", projects.steps, name="steps"),
    path(f"{inside}/shelf-list/", shelf_list.shelf_list, name="shelf-list"),
    path(f"{inside}/shelf-list/<uuid:key>/strike/", shelf_list.need_strike, name="need-strike"),
    path(f"{inside}/log/", log.log, name="log"),
    path(f"{inside}/log/note/", log.note, name="note"),
    path(f"{inside}/log/photo/", log.photo, name="photo"),
    path(f"{inside}/sheet/", sheets.sheets, name="sheets"),
    path(f"{inside}/sheet/<int:number>.pdf", sheets.sheet_pdf, name="sheet-pdf"),
    path(f"{inside}/failures/", failures.failures, name="failures"),
    path(f"{inside}/failures/new/", failures.failure_new, name="failure-new"),
    path(f"{inside}/failures/<uuid:key>/remove/", failures.failure_remove, name="failure-remove"),
    path("bench/", bench.bench, name="bench"),
    path("bench/<uuid:key>/", bench.bench_step, name="bench-step"),
    path("bench/<uuid:key>/checks/<uuid:item>/", bench.tick, name="tick"),
    path("bench/<uuid:key>/mix/", cups.mix, name="mix"),
    path("bench/<uuid:key>/cups/<uuid:cup>/", cups.cup, name="cup"),
    path("bench/<uuid:key>/cups/<uuid:cup>/weigh/<str:part>/", cups.weigh, name="weigh"),
    path("bench/<uuid:key>/pour/", bench.pour, name="pour"),
    path("bench/<uuid:key>/photo/", bench.photo, name="bench-photo"),
]
