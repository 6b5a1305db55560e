from django.urls import path

from shop.web.stores import labels, receiving, views

urlpatterns = [
    path("", views.index, name="stores"),
    path("receive/hose/", receiving.receive_hose, name="receive_hose"),
    path("receive/hose/csv/", receiving.hose_csv, name="receive_hose_csv"),
    path("receive/hose/csv/template/", receiving.hose_template, name="receive_hose_template"),
    path("receive/parts/", receiving.receive_parts, name="receive_parts"),
    path("receive/parts/csv/", receiving.parts_csv, name="receive_parts_csv"),
    path("receive/parts/csv/template/", receiving.parts_template, name="receive_parts_template"),
    path("lots/", views.lots, name="lots"),
    path("lots/<int:pk>/", views.lot, name="lots_item"),
    path("lots/<int:pk>/condemn/", views.condemn, name="lots_condemn"),
    path("lots/<int:pk>/labels/", labels.of_lot, name="lots_labels"),
    path("pieces/", views.pieces, name="pieces"),
    path("pieces/<int:pk>/", views.piece, name="pieces_item"),
    path("pieces/<int:pk>/label/", labels.of_piece, name="pieces_labels"),
    path("pieces/<int:pk>/count/", views.count, name="piece_count"),
    path("pieces/<int:pk>/place/", views.place, name="piece_place"),
]
