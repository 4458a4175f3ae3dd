"""Addresses of the projects room, all below `/s/<shop>/`."""

from django.urls import path

from projects.views import bench, block, check, clocks, cups, failures, lessons, log, now, projects, sheets

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
    path(f"{inside}/log/", log.log, name="log"),
    path(f"{inside}/log/note/", log.note, name="note"),
    path(f"{inside}/log/photo/", log.photo, name="photo"),
    path(f"{inside}/sheet/", sheets.sheets, name="sheets"),
    path(f"{inside}/sheet/<int:number>.pdf", sheets.sheet_pdf, name="sheet-pdf"),
    path(f"{inside}/failures/", failures.failures, name="failures"),
    path(f"{inside}/failures/new/", failures.failure_new, name="failure-new"),
    path(f"{inside}/failures/<uuid:key>/", failures.failure, name="failure"),
    path(f"{inside}/failures/<uuid:key>/change/", failures.failure_change, name="failure-change"),
    path(f"{inside}/failures/<uuid:key>/why/", failures.failure_cause, name="failure-cause"),
    path(f"{inside}/failures/<uuid:key>/lesson/", lessons.failure_lesson, name="failure-lesson"),
    path(f"{inside}/failures/<uuid:key>/remove/", failures.failure_remove, name="failure-remove"),
    path("lessons/", lessons.lessons, name="lessons"),
    path("lessons/new/", lessons.lesson_new, name="lesson-new"),
    path("lessons/kinds/<slug:kind>/", lessons.failure_kind, name="failure-kind"),
    path("lessons/<uuid:key>/retire/", lessons.lesson_retire, name="lesson-retire"),
    path("bench/", bench.bench, name="bench"),
    path("bench/<uuid:key>/", bench.bench_step, name="bench-step"),
    path("bench/<uuid:key>/checks/<uuid:item>/", bench.tick, name="tick"),
    path("bench/<uuid:key>/mix/", cups.mix, name="mix"),
    path("bench/<uuid:key>/cups/<uuid:cup>/", cups.cup, name="cup"),
    path("bench/<uuid:key>/cups/<uuid:cup>/weigh/<str:part>/", cups.weigh, name="weigh"),
    path("bench/<uuid:key>/pour/", bench.pour, name="pour"),
    path("bench/<uuid:key>/check/", check.check, name="check"),
    path("bench/<uuid:key>/check/<str:code>/", check.overrule, name="overrule"),
    path("bench/<uuid:key>/photo/", bench.photo, name="bench-photo"),
]
