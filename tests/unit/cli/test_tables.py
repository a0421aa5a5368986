import pytest

from leaktrack.cli.tables import read_table
from leaktrack.model.errors import BadInput

COLUMNS = ("id", "x", "y")


@pytest.fixture
def table(tmp_path):
    """Write bytes, or text as UTF-8, into a file and read them as a table."""

    def read(content):
        file = tmp_path / "points.csv"
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_table(file, COLUMNS)

    return read


def values(rows):
    return [(row.line, row.text("id"), row.number("x"), row.number("y")) for row in rows]


@pytest.mark.parametrize(
    "content",
    [
        "id,x,y\na,1.5,2\nb,3,-4e1\n",
        "id,x,y\r\na,1.5,2\r\nb,3,-4e1\r\n",
        "id,x,y\ra,1.5,2\rb,3,-4e1",
        "\ufeffid,x,y\na,1.5,2\nb,3,-4e1\n",
        "id;x;y\na;1,5;2\nb;3;-4e1\n",
        "id\tx\ty\na\t1.5\t2\nb\t3\t-4e1\n",
        ' ID , X , Y \n"a", "1.5", 2\nb,3,-4e1,,\n',
        "y,note,id,x\n2,low,a,1.5\n-40,,b,3\n",
    ],
    ids=["unix", "windows", "old mac", "bom", "semicolons", "tabs", "quotes", "other order"],
)
def test_tables_are_read_as_spreadsheets_and_editors_write_them(table, content):
    assert values(table(content)) == [(2, "a", 1.5, 2), (3, "b", 3, -40)]


def test_empty_lines_are_left_out_and_counted(table):
    assert values(table("\n\nid,x,y\n\na,1,2\n,,\nb,3,4\n")) == [(5, "a", 1, 2), (7, "b", 3, 4)]


@pytest.mark.parametrize(
    ("content", "complaint"),
    [
        ("", "points.csv is empty. Its first line has to be: id,x,y"),
        ("\n \n", "points.csv is empty."),
        ("id,x,y\n", "has column names but no row below them"),
        ("id,x\na,1\n", "line 1: there is no column y. It names id, x; it has to name id, x, y."),
        ("\nid,x,x,y\na,1,1,1\n", "line 2: two columns are x."),
        ("id,x,y\na,1,5,2,5\n", "line 2: it has 5 cells for 3 columns"),
        (b"id,x,y\n\xff\xfe,1,2\n", "is not text in UTF-8. Save the table as CSV (UTF-8)"),
        ("id,x,y\na," + "9" * 200_000 + ",1\n", "line 2: it is not a table"),
    ],
)
def test_what_is_no_table_is_told(table, content, complaint):
    with pytest.raises(BadInput) as caught:
        table(content)

    assert complaint in str(caught.value)


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("a,one,2", "line 2: x is 'one', which is not a number"),
        ("a,1,nan", "line 2: y is 'nan', which is not a number"),
        ("a,1,inf", "line 2: y is 'inf', which is not a number"),
        ("a,1", "line 2: y is empty"),
        (",1,2", "line 2: id is empty"),
    ],
)
def test_a_bad_cell_is_told_with_its_line(table, line, complaint):
    with pytest.raises(BadInput) as caught:
        values(table(f"id,x,y\n{line}\n"))

    assert str(caught.value) == f"points.csv, {complaint}. Correct the file and try again."


def test_a_missing_file_and_a_folder_are_told(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(BadInput, match="cannot be read: "):
            read_table(path, COLUMNS)
