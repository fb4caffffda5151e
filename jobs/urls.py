"""Addresses of the jobs app: acceptance, jobs, what they took, invoices."""

from __future__ import annotations

from django.urls import path

from jobs.views import billing, bookkeeping, cutting, invoices, jobs, mailing, records

urlpatterns = [
    path("o/<str:token>/accept/", jobs.accept_offer, name="accept-offer"),
    path("jobs/accept/<slug:number>/", jobs.accept_here, name="accept-here"),
    path("jobs/of-quote/<slug:number>/", jobs.job_of_quote, name="job-of-quote"),
    path("jobs/", jobs.jobs, name="jobs"),
    path("jobs/<slug:number>/", jobs.job, name="job"),
    path("jobs/<slug:number>/cut-list/", cutting.job_cut_list, name="job-cut-list"),
    path(
        "jobs/<slug:number>/cut-list.pdf",
        cutting.job_cut_list_paper,
        name="job-cut-list-paper",
    ),
    path("jobs/<slug:number>/cost/", jobs.job_cost, name="job-cost"),
    path("jobs/<slug:number>/state/", jobs.move_job, name="move-job"),
    path("jobs/<slug:number>/lines/<int:pk>/", jobs.finish_line, name="finish-line"),
    path(
        "jobs/<slug:number>/purchase/", records.record_purchase, name="record-purchase"
    ),
    path(
        "jobs/<slug:number>/purchases/<int:pk>/here/",
        records.receive_purchase,
        name="receive-purchase",
    ),
    path("jobs/<slug:number>/return/", records.record_return, name="record-return"),
    path("jobs/<slug:number>/use/", records.record_use, name="record-use"),
    path("jobs/<slug:number>/offcut/", records.keep_offcut, name="keep-offcut"),
    path("jobs/<slug:number>/rack/", records.use_offcut, name="use-offcut"),
    path("jobs/<slug:number>/day/", records.record_day, name="record-day"),
    path("jobs/<slug:number>/invoices/", billing.job_invoices, name="job-invoices"),
    path("jobs/<slug:number>/invoices/rest/", billing.ask_rest, name="ask-rest"),
    path(
        "jobs/<slug:number>/invoices/<slug:kind>/",
        billing.ask_share,
        name="ask-share",
    ),
    path("jobs/<slug:number>/change/", billing.add_variation, name="add-variation"),
    path(
        "jobs/<slug:number>/changes/<slug:which>/",
        billing.settle_variation,
        name="settle-variation",
    ),
    path("invoices/", invoices.invoices, name="invoices"),
    path("books/", bookkeeping.books, name="books"),
    path("books/<slug:what>/<slug:ending>/", bookkeeping.books_out, name="books-out"),
    path("invoices/statement/", invoices.statement, name="statement"),
    path("invoices/<uuid:uid>/", invoices.invoice, name="invoice"),
    path("invoices/<uuid:uid>/issue/", invoices.issue, name="issue-invoice"),
    path("invoices/<uuid:uid>/paper.pdf", invoices.invoice_paper, name="invoice-paper"),
    path("invoices/<uuid:uid>/refresh/", invoices.refresh, name="refresh-invoice"),
    path("invoices/<uuid:uid>/discard/", invoices.discard, name="discard-invoice"),
    path("invoices/<uuid:uid>/pay/", invoices.pay, name="pay-invoice"),
    path(
        "invoices/<uuid:uid>/mail/<slug:kind>/",
        mailing.mail_invoice,
        name="mail-invoice",
    ),
    path("invoices/<uuid:uid>/credit/", invoices.credit, name="credit-invoice"),
]
