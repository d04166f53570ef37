"""Bundles by command."""

from __future__ import annotations

from journal.keeping.photos import photos_of


def test_a_bundle_is_written_and_taken_out(begun, run, refused, tmp_path):
    out = tmp_path / "stick.vatside.zip"
    made = run("bundle", begun, out, "--json").data
    assert made == {"path": str(out), "photos": 0, "plans": 1}
    assert "exists already" in refused("bundle", begun, out)
    taken = run("unbundle", out, tmp_path / "new")
    path = tmp_path / "new" / begun.name
    assert taken.out.startswith(f"Took {path} out of the bundle")
    assert run("check", path).code == 0
    assert run("makes", path, "--json").data == run("makes", begun, "--json").data
    assert "already" in refused("unbundle", out, tmp_path / "new")
    assert not photos_of(path).exists()
