using System.Net;
using System.Text.RegularExpressions;
using Saltograph.Service.People;

namespace Saltograph.Service.Tests.People;

/// <summary>The administrators' page, used as a browser uses it: forms with their tokens.</summary>
public sealed partial class PeoplePageTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_person_is_added_sets_a_password_by_the_link_and_sees_the_athletes_that_are_given()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        var page = await SendAsync(administrator, "add", ("person", "coach-7"), ("roles", "coach"), ("roles", "analyst"));
        var code = OnceLink().Match(page).Groups["code"].Value;
        Assert.Contains("coach-7 was added.", page, StringComparison.Ordinal);
        Assert.Equal("analyst coach", hall.Book.Find("coach-7")!.Roles);

        using var coach = hall.Browser();
        using var set = await PeopleHall.PostFormAsync(coach, "/set-password", "/account/set-password", ("code", code), ("password", PeopleHall.Password), ("again", PeopleHall.Password));
        Assert.EndsWith("said=set", set.Headers.Location!.OriginalString, StringComparison.Ordinal);
        using var signedIn = await hall.SignedInAsync("coach-7");
        Assert.Equal("[]", await AthletesOfAsync(signedIn));
        await SendAsync(administrator, "give coach-7", ("person", "coach-7"), ("athlete", "amber"));
        Assert.Equal("amber", Assert.Single(hall.Book.AthletesOf("coach-7")));
        await SendAsync(administrator, "take coach-7 amber", ("person", "coach-7"), ("athlete", "amber"));
        Assert.Empty(hall.Book.AthletesOf("coach-7"));

        Assert.DoesNotContain(code, await administrator.GetStringAsync(new Uri("/people", UriKind.Relative), Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_person_who_is_shut_out_is_signed_out_and_gets_no_link()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        using var coach = await hall.SignedInAsync(Roles.Coach);
        var page = await SendAsync(administrator, "change coach", ("person", "coach"), ("roles", "coach"));
        Assert.Contains("shut out", page, StringComparison.Ordinal);
        Assert.DoesNotContain("link coach", page, StringComparison.Ordinal);
        using var answer = await coach.GetAsync(new Uri("/", UriKind.Relative), Stop);
        Assert.Equal(HttpStatusCode.Found, answer.StatusCode);
    }

    [Fact]
    public async Task What_is_wrong_is_said_and_nothing_is_changed()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        Assert.Contains("person: found &#x27;coach&#x27;, who is there already; allowed: a name that nobody has.", await SendAsync(administrator, "add", ("person", "coach"), ("roles", "medical")), StringComparison.Ordinal);
        Assert.Contains("person: found &#x27;Some Body&#x27;; allowed:", await SendAsync(administrator, "add", ("person", "Some Body"), ("roles", "coach")), StringComparison.Ordinal);
        Assert.Contains("the last administrator", await SendAsync(administrator, "change administrator", ("person", "administrator"), ("active", "true")), StringComparison.Ordinal);
        Assert.Equal("coach", hall.Book.Find("coach")!.Roles);
        Assert.Null(hall.Book.Find("Some Body"));
        Assert.Equal("administrator", hall.Book.Find("administrator")!.Roles);
    }

    [Fact]
    public async Task A_withdrawn_consent_counts_at_once_and_says_who_withdrew_it()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        await SendAsync(administrator, "consent-amber", ("athlete", "amber"), ("recording", "true"), ("display", "true"), ("givenBy", "guardian"));
        var given = hall.Book.Consent("amber")!;
        Assert.Equal((true, true, "guardian", "administrator"), (given.Recording, given.Display, given.GivenBy, given.EnteredBy));
        await SendAsync(administrator, "consent-amber", ("athlete", "amber"), ("recording", "true"), ("givenBy", "both"));
        var withdrawn = hall.Book.Consent("amber")!;
        Assert.Equal((true, false, "both"), (withdrawn.Recording, withdrawn.Display, withdrawn.GivenBy));
        Assert.Contains("givenBy: found &#x27;&#x27;; allowed:", await SendAsync(administrator, "consent-beryl", ("athlete", "beryl"), ("recording", "true"), ("givenBy", "")), StringComparison.Ordinal);
        Assert.Null(hall.Book.Consent("beryl"));
    }

    [Fact]
    public async Task Without_its_token_a_form_changes_nothing()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        using var form = new FormUrlEncodedContent([KeyValuePair.Create("_handler", "add"), KeyValuePair.Create("person", "coach-8"), KeyValuePair.Create("roles", "coach")]);
        using var answer = await administrator.PostAsync(new Uri("/people", UriKind.Relative), form, Stop);
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Null(hall.Book.Find("coach-8"));
    }

    [Fact]
    public async Task An_administrator_begins_at_people_and_a_coach_does_not_see_the_page()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var browser = hall.Browser();
        using var signedIn = await PeopleHall.PostFormAsync(browser, "/sign-in", "/account/sign-in", ("name", Roles.Administrator), ("password", PeopleHall.Password), ("to", "/"));
        Assert.Equal("/people", signedIn.Headers.Location!.OriginalString);
        using var coach = await hall.SignedInAsync(Roles.Coach);
        Assert.DoesNotContain("href=\"/people\"", await coach.GetStringAsync(new Uri("/glossary", UriKind.Relative), Stop), StringComparison.Ordinal);
        using var refused = await coach.GetAsync(new Uri("/people", UriKind.Relative), Stop);
        Assert.Equal(HttpStatusCode.Forbidden, refused.StatusCode);
    }

    private static async Task<string> SendAsync(HttpClient browser, string form, params (string Key, string Value)[] fields)
    {
        using var answer = await PeopleHall.PostFormAsync(browser, "/people", "/people", [("_handler", form), .. fields]);
        var text = await answer.Content.ReadAsStringAsync(Stop);
        Assert.True(answer.IsSuccessStatusCode, $"{form}: {(int)answer.StatusCode} {text}");
        return text;
    }

    private static async Task<string> AthletesOfAsync(HttpClient browser)
    {
        using var answer = await browser.GetAsync(new Uri("/api/v1/athletes", UriKind.Relative), Stop);
        return System.Text.Json.JsonElement.Parse(await answer.Content.ReadAsStringAsync(Stop)).GetProperty("athletes").GetRawText();
    }

    [GeneratedRegex("data-once>[^<]*/set-password#(?<code>[^<]+)<", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex OnceLink();
}
